"""Every mutant that could be planted, by cosmic-ray's operators, and the order of a seed."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cosmic_ray.ast import get_ast
from cosmic_ray.mutating import MutationVisitor, mutate_code
from cosmic_ray.plugins import get_operator
from mutation.places import LAWS, ROOT, mutated_files

OPERATORS = (
    "NumberReplacer",
    "AddNot",
    "ReplaceAndWithOr",
    "ReplaceOrWithAnd",
    "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue",
    "ReplaceBreakWithContinue",
    "ReplaceContinueWithBreak",
    "ReplaceUnaryOperator_Delete_Not",
    "ReplaceUnaryOperator_Delete_USub",
    "ZeroIterationForLoop",
    "ExceptionReplacer",
    *(
        f"ReplaceBinaryOperator_{change}"
        for change in (
            *("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Mul_Add", "Pow_Mul"),
            *("FloorDiv_Mul", "Mod_Add", "BitOr_BitAnd", "BitAnd_BitOr"),
        )
    ),
    *(
        f"ReplaceComparisonOperator_{change}"
        for change in (
            *("Lt_LtE", "Lt_GtE", "LtE_Lt", "LtE_Gt", "Gt_GtE", "Gt_LtE", "GtE_Gt", "GtE_Lt"),
            *("Eq_NotEq", "NotEq_Eq", "Is_IsNot", "IsNot_Is"),
        )
    ),
)
"""cosmic-ray's operators, less those that no number survives: bits of a float, `is` for `<`."""


@dataclass(frozen=True)
class Mutant:
    """One change of one file: which operator, at which of its places, and the line it is on."""

    file: str
    operator: str
    occurrence: int
    line: int
    first: int
    last: int

    def source(self) -> str:
        """Return the file's text with the change."""
        changed: str = mutate_code(
            _text(self.file), get_operator(f"core/{self.operator}")(), self.occurrence
        )
        return changed

    def change(self) -> tuple[str, str]:
        """Return the line that differs, before and after."""
        before, after = _text(self.file).splitlines(), self.source().splitlines()
        for old, new in zip(before, after, strict=False):
            if old != new:
                return old.strip(), new.strip()
        return before[self.line - 1].strip(), "(less)"


def _text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


class _Finder(MutationVisitor):  # type: ignore[misc]
    """Visits as a mutation does, and changes nothing: notes the places."""

    def __init__(self, operator: Any) -> None:
        super().__init__(-1, operator)
        self.found: list[tuple[int, Any, int]] = []

    def visit(self, node: Any) -> Any:
        for begin, _ in self.operator.mutation_positions(node):
            self.found.append((self._count, node, begin[0]))
            self._count += 1
        return node


def _is_code(node: Any) -> bool:
    """Return whether a place decides something: no type hint and no text of a message."""
    child, parent = node, node.parent
    while parent is not None:
        if parent.type in ("annassign", "tfpdef") and child in parent.children[1:]:
            named = parent.type == "tfpdef" or child is parent.children[1]
            if named:
                return False
        if parent.type == "funcdef" and child is parent.annotation:
            return False
        if parent.type in ("fstring", "raise_stmt"):
            return False
        child, parent = parent, parent.parent
    return True


def _statement(node: Any) -> tuple[int, int]:
    """Return the first and last line of the statement a place is in; of a block, its head."""
    child, parent = node, node.parent
    while parent is not None and parent.type not in ("suite", "file_input"):
        child, parent = parent, parent.parent
    body = next((c for c in getattr(child, "children", ()) if c.type == "suite"), None)
    last = body.start_pos[0] - 1 if body is not None else child.end_pos[0]
    first = child.start_pos[0]
    return first, max(first, min(last, node.end_pos[0]))


def _written_directions(tree: Any) -> set[str]:
    """Return the functions of generated laws that give what a law's text gives."""
    first: dict[str, str] = {}
    for function in tree.iter_funcdefs():
        first.setdefault(function.name.value.split("__")[0], function.name.value)
    return set(first.values())


def _function(node: Any) -> str:
    while node is not None and node.type != "funcdef":
        node = node.parent
    return node.name.value if node is not None else ""


def mutants_of(name: str) -> list[Mutant]:
    """Return every mutant of a file, in the order of its lines."""
    found = []
    tree = get_ast(_text(name))
    written = _written_directions(tree) if name == LAWS else None
    for operator in OPERATORS:
        finder = _Finder(get_operator(f"core/{operator}")())
        finder.walk(tree)
        for occurrence, node, line in finder.found:
            if not _is_code(node) or (written is not None and _function(node) not in written):
                continue
            found.append(Mutant(name, operator, occurrence, line, *_statement(node)))
    return sorted(found, key=lambda m: (m.line, m.operator, m.occurrence))


def drawn(seed: int) -> list[Mutant]:
    """Return all mutants in the order of a seed.

    The first of them, however many, are spread over files by how many each file has.
    """
    rows = []
    for name in mutated_files():
        chance = random.Random(f"{seed} {name}")
        mutants = mutants_of(name)
        chance.shuffle(mutants)
        start = chance.random()
        rows += [((i + start) / len(mutants), name, m) for i, m in enumerate(mutants)]
    return [mutant for _, _, mutant in sorted(rows, key=lambda row: row[:2])]


def written_to(copy: Path, mutant: Mutant) -> None:
    """Put a mutant in place of its file in a copy."""
    (copy / mutant.file).write_text(mutant.source(), encoding="utf-8")
