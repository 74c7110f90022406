"""What analysis hands on: an input's allowed range and what limits it, and a sweep's rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:  # a check hands on ranges and never loads numpy
    import numpy as np
    from numpy.typing import NDArray

Others = Literal["nominal", "anywhere"]


class Limit(NamedTuple):
    """What stops an input: a check, a frame that could not be, the spec language, or the proof.

    `code` and `about` are those of the check or fault; `words` say it.
    """

    kind: Literal["check", "frame", "spec", "proof"]
    code: str
    about: str
    words: str

    def __str__(self) -> str:
        """Code and what it is about.

        >>> str(Limit("check", "slot-gap", "joint", "the joint's play above the tightest"))
        'slot-gap of joint'
        """
        return f"{self.code} of {self.about}"


@dataclass(frozen=True)
class AllowedRange:
    """From `low` to `high` every check passes; in mm, degrees or plain, whatever `unit` says.

    `unit` is what people read the input in. `low_limit` and `high_limit` say what fails just
    outside, None where nothing does as far as was looked. `nominal` is the value in the spec; when
    it lies outside, `failing` are the checks that fail there. `as_made` tells that the drawn file
    stays and only what is made differs; else the file is drawn anew for each value.
    """

    name: str
    nominal: float
    low: float
    high: float
    unit: str
    low_limit: Limit | None
    high_limit: Limit | None
    others: Others
    as_made: bool
    failing: tuple[Limit, ...] = ()


@dataclass(frozen=True)
class NoRange:
    """No value was found at which every check passes; `failing` fail at the spec's own."""

    name: str
    nominal: float
    unit: str
    others: Others
    as_made: bool
    failing: tuple[Limit, ...]


@dataclass(frozen=True)
class Bands:
    """What a sweep's margins come to over the tolerances, row by row; arrays have shape (rows,).

    `low` and `high` by check code and what it is about, in mm, hold every value that the margin
    takes over the tolerances: infinite where the frame has no such check, NaN where there is no
    frame. `verdicts` are 'pass', 'undecided', 'fail' or 'no frame'.
    """

    low: Mapping[tuple[str, str], NDArray[np.float64]]
    high: Mapping[tuple[str, str], NDArray[np.float64]]
    verdicts: NDArray[np.str_]


@dataclass(frozen=True)
class Sweep:
    """What many solutions of one frame have, row by row; arrays have shape (rows,).

    `quantities` by name, in mm, degrees or plain: an array where it changes from row to row, else
    one float. `margins` by check code and what it is about, in mm: infinite in rows where the
    frame has no such check. `as_drawn` says where every check holds as drawn, whatever the
    tolerances. `valid` says where the frame exists; where it does not, `as_drawn` is False and
    what was derived is NaN.

    `find_bands` gives `bands`, which are found when they, `verdicts` or `passed` are first asked
    for: some ms a row where a tolerance counts.
    """

    rows: int
    quantities: Mapping[str, NDArray[np.float64] | float]
    margins: Mapping[tuple[str, str], NDArray[np.float64]]
    as_drawn: NDArray[np.bool_]
    valid: NDArray[np.bool_]
    find_bands: Callable[[], Bands] = field(repr=False, compare=False)

    @cached_property
    def bands(self) -> Bands:
        """Each margin's proved low and high over the tolerances, and each row's verdict."""
        return self.find_bands()

    @property
    def verdicts(self) -> NDArray[np.str_]:
        """Each row's verdict: 'pass', 'undecided', 'fail' or 'no frame'."""
        return self.bands.verdicts

    @cached_property
    def passed(self) -> NDArray[np.bool_]:
        """Where every check passes over the whole of the tolerances: the verdict is 'pass'."""
        found: NDArray[np.bool_] = self.verdicts == "pass"
        found.flags.writeable = False
        return found
