"""Readings as people write them, in words such as `caliper=3.02,3.05` or a small YAML file → mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from framekit.errors import Fault, SpecError, Where
from framekit.spec.measure import MeasureError, parse_length
from framekit.spec.yaml_text import read_yaml

NAMES = ("slot", "strips", "caliper", "engraved")
LIMITS = ("resolution", "caliper_error")
MOST_READINGS = 200
LONGEST = 1000.0
"""mm; no caliper for a coupon reads more."""
LARGEST_FILE = 100_000


def parse_readings(words: Sequence[str], file: Path | None = None) -> dict[str, tuple[float, ...]]:
    """The readings by name, mm, from a YAML file and from words `NAME=VALUE[,VALUE…]`.

    Words come after the file's readings of that name. Raises SpecError with every fault.
    """
    found: dict[str, list[float]] = {}
    faults: list[Fault] = []
    if file is not None:
        for name, raw in _values_of(file).items():
            known = (*NAMES, *LIMITS)
            if name not in known:
                faults.append(_unknown(name, known, Where(str(file))))
                continue
            items = raw if isinstance(raw, list) else [raw]
            _take(found, faults, name, items, Where(str(file)))
    for word in words:
        name, equals, values = word.partition("=")
        name = name.strip()
        if not equals or name not in NAMES:
            faults.append(_unknown(name, NAMES, Where()))
            continue
        _take(found, faults, name, values.split(","), Where())
    for name in ("slot", "engraved", *LIMITS):
        if len(found.get(name, ())) > 1:
            hint = "Name the narrowest slot that the sheet goes into by hand."
            faults.append(
                Fault(
                    "reading-count",
                    f"{name} has {len(found[name])} values",
                    hint=hint if name == "slot" else "Give one.",
                )
            )
    if faults:
        raise SpecError(*faults)
    return {name: tuple(values) for name, values in found.items()}


def _values_of(file: Path) -> Mapping[str, Any]:
    try:
        data = file.read_bytes()
        if len(data) > LARGEST_FILE:
            raise ValueError(f"it has {len(data)} bytes")
        values = read_yaml(data.decode("utf-8-sig"), str(file)).values
    except UnicodeDecodeError:
        reason = "it is not UTF-8 text"
    except SpecError:
        raise
    except OSError as error:
        reason = error.strerror or "unreadable"
    except ValueError as error:
        reason = str(error)
    else:
        if isinstance(values, dict):
            return values
        reason = "it is no mapping"
    raise SpecError(
        Fault(
            "readings-file",
            f"cannot read the readings: {reason}",
            Where(str(file)),
            "Write 'slot: 3.10', 'strips: 119.2' and 'caliper: [3.02, 3.05, 3.01]'.",
        )
    )


def _take(
    found: dict[str, list[float]],
    faults: list[Fault],
    name: str,
    items: Sequence[Any],
    where: Where,
) -> None:
    """Nothing; the values join `found`, and what is wrong with them `faults`."""
    into = found.setdefault(name, [])
    if not items or len(into) + len(items) > MOST_READINGS:
        faults.append(
            Fault(
                "reading-count",
                f"{name} has {len(into) + len(items)} readings",
                where,
                f"Give 1 to {MOST_READINGS}.",
            )
        )
        return
    for item in items:
        try:
            measure = parse_length(item.strip() if isinstance(item, str) else item)
        except MeasureError as error:
            faults.append(Fault("reading", f"{name}: {error}", where, error.hint))
            continue
        least_is_zero = name in ("caliper_error", "engraved")
        if measure.tolerance:
            what, hint = "has a tolerance", "Give what the caliper shows."
        elif measure.value < 0 or (measure.value == 0 and not least_is_zero):
            what, hint = "is not above zero", "Give what the caliper shows, in mm."
        elif measure.value > LONGEST:
            what, hint = f"is over {LONGEST:g} mm", "Give mm."
        elif name in LIMITS and measure.value > 1.0:
            what, hint = "is over 1 mm", "A caliper reads finer."
        else:
            into.append(measure.value)
            continue
        faults.append(Fault("reading", f"{name}: {measure.value:g} mm {what}", where, hint))


def _unknown(name: str, known: Sequence[str], where: Where) -> Fault:
    return Fault(
        "reading-name",
        f"there is no reading named '{name[:40]}'",
        where,
        f"Known: {', '.join(known)}; write caliper=3.02,3.05,3.01.",
    )
