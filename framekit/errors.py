"""Every deliberate exception of framekit.

An error says what is wrong, where (file, line, column, path in the document) and what to do.
All of them pickle, so they cross process borders.
"""

from __future__ import annotations

from dataclasses import dataclass

MOST_SHOWN = 40
"""Faults that an error prints; all of them are in `faults`."""


@dataclass(frozen=True)
class Where:
    """A place in a spec or another file; lines and columns count from 1, None means unknown."""

    file: str | None = None
    line: int | None = None
    column: int | None = None
    path: str | None = None

    def __str__(self) -> str:
        """The place as `file:line:column (path)`, leaving out what is unknown."""
        place = self.file or ""
        if self.line is not None:
            place += f":{self.line}" if place else f"line {self.line}"
            if self.column is not None:
                place += f":{self.column}"
        if self.path:
            place += f" ({self.path})" if place else self.path
        return place


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: a code, a sentence, its place and a remedy."""

    code: str
    message: str
    where: Where = Where()
    hint: str = ""

    def __str__(self) -> str:
        """The fault as one line: place, sentence, remedy."""
        place = str(self.where)
        text = f"{place}: {self.message}" if place else self.message
        if not self.hint:
            return text
        return f"{text}{'' if text.endswith(('.', '?', '!')) else '.'} {self.hint}"


class FramekitError(Exception):
    """The parent of every deliberate framekit error; carries one or more faults.

    `code`, `message`, `where` and `hint` are those of the first fault; `faults` has them all.
    """

    exit_code = 2

    def __init__(self, *faults: Fault) -> None:
        """Keep the faults; at least one is needed."""
        if not faults:
            raise ValueError("an error needs at least one fault")
        super().__init__(*faults)
        self.faults: tuple[Fault, ...] = faults

    @property
    def code(self) -> str:
        """The code of the first fault."""
        return self.faults[0].code

    @property
    def message(self) -> str:
        """The sentence of the first fault."""
        return self.faults[0].message

    @property
    def where(self) -> Where:
        """The place of the first fault."""
        return self.faults[0].where

    @property
    def hint(self) -> str:
        """The remedy of the first fault."""
        return self.faults[0].hint

    def __str__(self) -> str:
        """The faults, one a line, the first 40 of them."""
        lines = [str(fault) for fault in self.faults[:MOST_SHOWN]]
        if len(self.faults) > MOST_SHOWN:
            lines.append(f"… and {len(self.faults) - MOST_SHOWN} more.")
        return "\n".join(lines)


class SpecError(FramekitError, ValueError):
    """The spec is wrong: not YAML, unknown keys, bad values, values that contradict."""


class SolveError(FramekitError, ValueError):
    """The constraint layer cannot find every number: something is missing or disagrees."""


class GeometryError(FramekitError, ValueError):
    """An outline cannot be made or offset as asked."""


class BuildError(FramekitError):
    """The parts do not pass the assembly test: solids overlap, fall apart or leave the skin."""

    exit_code = 1


class NestError(FramekitError):
    """The parts do not go on the sheets, or a nester gave an illegal layout."""

    exit_code = 1


class StockError(NestError):
    """The sheets at hand do not do: they run out, or a part is larger than every one of them."""

    exit_code = 2


class WriteError(FramekitError, OSError):
    """A file or folder cannot be written."""


class UnknownNameError(FramekitError, LookupError):
    """A name (body, joint, nester, backend, catalogue row, quantity) is not known."""


class PluginError(FramekitError):
    """A plug-in cannot be loaded, is doubled or broke its contract."""

    exit_code = 3
