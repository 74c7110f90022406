"""Values put into a spec's text with every other byte left as it is, and files replaced whole.

The YAML composer says where each value begins and ends; only those stretches are exchanged. So
comments, order, indents, quotes and line ends stay, which a dump of the whole text cannot promise.
"""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode

from framekit.errors import Fault, SpecError, Where, WriteError
from framekit.spec.yaml_text import read_yaml

BYTE_ORDER_MARK = "\ufeff"


def rewritten(
    text: str,
    changes: Mapping[str, str],
    instead: Mapping[str, str] | None = None,
    file: str | None = None,
) -> str:
    """The YAML text with values, themselves YAML in one line, set by dotted path.

    A key that is missing is added to its section, a section that is missing to the text's end.
    `instead` names a key by the path that takes its place, such as `fit` for `joint.clearance`.
    Raises SpecError when the text is not YAML, or a path leads through something that is no
    mapping or that the text has elsewhere too (an anchor).

    >>> rewritten("sheet: {thickness: 3}   # mm\\n", {"sheet.thickness": "3.02 ± 0.03"})
    'sheet: {thickness: 3.02 ± 0.03}   # mm\\n'
    """
    for path, value in changes.items():
        text = _with(text, path.split("."), value, (instead or {}).get(path), file)
    return text


def _with(text: str, path: Sequence[str], value: str, instead: str | None, file: str | None) -> str:
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    text = text.removeprefix(BYTE_ORDER_MARK)
    read_yaml(text, file)
    node = YAML(typ="safe", pure=True).compose(text)
    place: list[str] = []
    for depth, key in enumerate(path):
        _refuse_elsewhere(node, place, path, file)
        pairs = {str(k.value): (k, v) for k, v in node.value}
        if key not in pairs:
            rest = list(path[depth:])
            if len(rest) == 1 and instead in pairs:
                start = pairs[instead][0].start_mark.index
                end = _end(pairs[instead][1])
                return f"{mark}{text[:start]}{key}: {value}{text[end:]}"
            return mark + _added(text, node, _nested(rest, value))
        place.append(key)
        node = pairs[key][1]
        before = pairs[key][0]
    _refuse_anchor(node, place, file)
    start, end = node.start_mark.index, _end(node)
    if start == end:  # nothing is written there, and YAML puts it before whatever comes next
        start = end = text.index(":", before.end_mark.index) + 1
    gap = "" if text[:start].endswith((" ", "\n", "\t")) else " "
    return f"{mark}{text[:start]}{gap}{value}{text[end:]}"


def _refuse_elsewhere(node: Node, place: list[str], path: Sequence[str], file: str | None) -> None:
    """Nothing; raises SpecError for a node below which nothing can be set."""
    if not isinstance(node, MappingNode):
        raise SpecError(
            Fault(
                "spec-path",
                f"'{'.'.join(place)}' is not a mapping, so '{'.'.join(path)}' has no place in it",
                _where(node, place, file),
                "Write its keys below it, or in { }.",
            )
        )
    _refuse_anchor(node, place, file)


def _refuse_anchor(node: Node, place: list[str], file: str | None) -> None:
    if node.anchor is not None:
        raise SpecError(
            Fault(
                "spec-anchor",
                f"'{'.'.join(place)}' is an anchor, which the spec uses elsewhere too",
                _where(node, place, file),
                "Change it by hand, or write the value out.",
            )
        )


def _where(node: Node, place: list[str], file: str | None) -> Where:
    mark = node.start_mark
    return Where(file, mark.line + 1, mark.column + 1, ".".join(place) or None)


def _nested(keys: Sequence[str], value: str) -> str:
    """The entry of a key, with mappings in braces for those below."""
    first, *rest = keys
    return f"{first}: {{{_nested(rest, value)}}}" if rest else f"{first}: {value}"


def _added(text: str, node: MappingNode, entry: str) -> str:
    """The text with one more entry in a mapping."""
    if node.flow_style:
        if not node.value:
            at = node.start_mark.index + 1
            return f"{text[:at]}{entry}{text[at:]}"
        at = _end(node.value[-1][1])
        return f"{text[:at]}, {entry}{text[at:]}"
    newline = "\r\n" if "\r\n" in text else "\n"
    indent = " " * node.value[0][0].start_mark.column
    if not indent:
        tail = "" if text.endswith("\n") else newline
        return f"{text}{tail}{entry}{newline}"
    plain = [v for _, v in node.value if isinstance(v, ScalarNode) and v.style not in ("|", ">")]
    if plain:
        # Below the line of the last plain value, so that no comment comes to stand over it.
        line = text.find("\n", _end(plain[-1]))
        at = len(text) if line < 0 else line + 1
        start = newline if line < 0 else ""
        return f"{text[:at]}{start}{indent}{entry}{newline}{text[at:]}"
    at = node.value[0][0].start_mark.index
    return f"{text[:at]}{entry}{newline}{indent}{text[at:]}"


def _end(node: Node) -> int:
    """Where a value ends, without the blank and comments that a block's own end lies behind."""
    if isinstance(node, MappingNode) and not node.flow_style and node.value:
        return _end(node.value[-1][1])
    return int(node.end_mark.index)


def replace_file(path: Path, old: bytes, new: bytes) -> None:
    """Nothing; the file's bytes are `new` then, whole, and its rights as before.

    The new file is written beside the old one and flushed before it takes its place. Raises
    WriteError when it cannot be written or the file is no longer `old`; then it is as it was.
    """
    target = path.resolve()
    beside = target.with_name(f".{secrets.token_hex(6)}.new")
    try:
        with beside.open("xb") as stream:
            stream.write(new)
            stream.flush()
            os.fsync(stream.fileno())
        shutil.copymode(target, beside)
        if target.read_bytes() != old:
            raise WriteError(
                Fault(
                    "spec-changed",
                    "someone changed the spec meanwhile, so it was left as it is",
                    Where(str(path)),
                    "Run the command again.",
                )
            )
        beside.replace(target)
    except OSError as error:
        beside.unlink(missing_ok=True)
        if isinstance(error, WriteError):
            raise
        reason = (error.strerror or type(error).__name__).lower()
        raise WriteError(
            Fault(
                "write",
                f"the spec cannot be written: {reason}. It is as it was.",
                Where(str(path)),
                "Ask for the right to write there, or free some space.",
            )
        ) from error
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
