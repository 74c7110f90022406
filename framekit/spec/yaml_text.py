"""YAML 1.2 text → plain values and the place of each; safe with text from strangers.

Only ruamel.yaml's composer runs: no tag builds an object, aliases and depth are limited.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode
from ruamel.yaml.reader import Reader, ReaderError

from framekit.errors import Fault, SpecError, Where

LARGEST_TEXT = 1_000_000
"""Characters; a longer spec is refused."""
MOST_VALUES = 50_000
"""Values after aliases are followed; more are refused."""
DEEPEST = 40
"""Levels of nesting; more are refused."""

Key = tuple[str | int, ...]
"""The way to a value: keys and list positions from the top."""

_TOO_DEEP = f"the spec is nested deeper than {DEEPEST} levels"
_LEVELS = "A spec needs no more than six."
_TAG = "tag:yaml.org,2002:"
_INT = re.compile(r"[-+]?[0-9]+\Z")
_BASED = re.compile(r"0(o[0-7]+|x[0-9a-fA-F]+)\Z")


@dataclass(frozen=True)
class YamlDocument:
    """Plain values (dict, list, str, int, float, bool, None) and where each stands.

    `places` has the place of every value, `key_places` of every mapping key; `file` is None where
    the text came from elsewhere.
    """

    values: Any
    places: Mapping[Key, Where]
    key_places: Mapping[Key, Where]
    file: str | None


def read_yaml(text: str, file: str | None) -> YamlDocument:
    """The one document in `text`; raises SpecError when it is not plain, small, sound YAML."""
    if len(text) > LARGEST_TEXT:
        raise _error(
            "yaml-too-large",
            f"the spec has {len(text)} characters; {LARGEST_TEXT} are the most read",
            "Split it.",
            Where(file),
        )
    try:
        yaml = YAML(typ="safe", pure=True)
        yaml.Reader = _Reader12
        root = yaml.compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        where = Where(file, mark.line + 1, mark.column + 1) if mark else Where(file)
        problem = " ".join((error.problem or error.context or "unreadable").split())
        raise _error(
            "yaml-syntax",
            f"this is not YAML: {problem}",
            "Check colons, quotes, brackets and that nesting uses spaces, not tabs.",
            where,
        ) from None
    except (YAMLError, ValueError) as error:
        raise _error(
            "yaml-syntax",
            f"this is not YAML: {' '.join(str(error).split())[:200]}",
            "Save the file as UTF-8 text without control characters.",
            Where(file),
        ) from None
    except RecursionError:
        raise _error(
            "yaml-too-deep",
            _TOO_DEEP,
            _LEVELS,
            Where(file),
        ) from None
    if root is None:
        hint = "Run 'framekit new' for a start."
        raise _error("yaml-empty", "the spec is empty", hint, Where(file))
    reader = _Reader(file)
    return YamlDocument(reader.value(root, (), 0), reader.places, reader.key_places, file)


def path_text(key: Key) -> str:
    """The way to a value as people read it: `discs[0].at.height`."""
    text = ""
    for step in key:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def _error(code: str, message: str, hint: str, where: Where) -> SpecError:
    return SpecError(Fault(code, message, where, hint))


class _Reader12(Reader):
    """A reader that looks for control characters without compiling a pattern, 4 ms a start."""

    def check_printable(self, data: str) -> None:
        """Raise ReaderError at a character that YAML 1.2 (section 5.1) does not allow."""
        for index, character in enumerate(data):
            code = ord(character)
            allowed = 0x20 <= code <= 0x7E or code in (0x09, 0x0A, 0x0D, 0x85)
            if not (allowed or 0xA0 <= code <= 0xD7FF or 0xE000 <= code != 0xFFFE):
                raise ReaderError(
                    self.name, index, code, "unicode", "special characters are not allowed"
                )


class _Reader:
    """Turns composed nodes to plain values and notes their places."""

    def __init__(self, file: str | None) -> None:
        self.file = file
        self.places: dict[Key, Where] = {}
        self.key_places: dict[Key, Where] = {}
        self.count = 0

    def value(self, node: Node, key: Key, depth: int) -> Any:
        self.count += 1
        if self.count > MOST_VALUES:
            what = f"the spec has more than {MOST_VALUES} values"
            raise self.fault(node, key, "yaml-too-large", what, "Split it.")
        if depth > DEEPEST:
            raise self.fault(node, key, "yaml-too-deep", _TOO_DEEP, _LEVELS)
        self.places[key] = self.where(node, key)
        if isinstance(node, MappingNode) and node.tag == _TAG + "map":
            return self.mapping(node, key, depth)
        if isinstance(node, SequenceNode) and node.tag == _TAG + "seq":
            return [self.value(item, (*key, i), depth + 1) for i, item in enumerate(node.value)]
        if isinstance(node, ScalarNode):
            return self.scalar(node, key)
        raise self.fault(
            node,
            key,
            "yaml-tag",
            f"the tag '{str(node.tag).replace(_TAG, '!!')}' is not read",
            "Remove the tag.",
        )

    def mapping(self, node: MappingNode, key: Key, depth: int) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, ScalarNode):
                raise self.fault(
                    key_node, key, "yaml-key", "a key must be plain text", "Write 'key: value'."
                )
            name = str(key_node.value)
            if name in result:
                raise self.fault(
                    key_node,
                    (*key, name),
                    "yaml-doubled-key",
                    f"the key '{name}' stands twice in one mapping",
                    "Keep one of them.",
                )
            below = (*key, name)
            self.key_places[below] = self.where(key_node, below)
            result[name] = self.value(value_node, below, depth + 1)
        return result

    def scalar(self, node: ScalarNode, key: Key) -> str | int | float | bool | None:
        text = str(node.value)
        kind = str(node.tag).removeprefix(_TAG)
        if kind == "str":
            return text
        if kind == "null":
            return None
        if kind == "bool" and text.lower() in ("true", "false"):
            return text.lower() == "true"
        if kind == "int" and len(text) <= 30:
            if _BASED.match(text):
                return int(text, 0)
            if _INT.match(text):
                return int(text)
        if kind in ("float", "int"):
            return self.real(node, key, text)
        if kind == "timestamp":
            return text
        raise self.fault(
            node,
            key,
            "yaml-tag",
            f"the tag '{str(node.tag).replace(_TAG, '!!')}' is not read",
            "Remove the tag.",
        )

    def real(self, node: ScalarNode, key: Key, text: str) -> float:
        plain = text.lower().lstrip("+-")
        if plain == ".nan":
            return math.nan
        if plain == ".inf":
            return -math.inf if text.startswith("-") else math.inf
        try:
            return float(text)
        except ValueError:
            raise self.fault(
                node, key, "yaml-number", f"'{text[:40]}' is not a number", "Write 3.05 or '1:4'."
            ) from None

    def where(self, node: Node, key: Key) -> Where:
        mark = node.start_mark
        return Where(self.file, mark.line + 1, mark.column + 1, path_text(key) or None)

    def fault(self, node: Node, key: Key, code: str, message: str, hint: str) -> SpecError:
        return _error(code, message, hint, self.where(node, key))
