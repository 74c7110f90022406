"""`framekit coupon SPEC`: a test piece for kerf and fit, and what was measured on it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from framekit.analysis.build import solve_spec
from framekit.calibration.build import SLOTS, STEP, STRIPS, fit_of, plan_coupon
from framekit.calibration.model import (
    CALIPER_ERROR,
    LEVEL,
    RESOLUTION,
    CouponPlan,
    Estimate,
    Fit,
    Readings,
)
from framekit.calibration.words import QUANTITIES, fit_text, measure_text, yaml_lines
from framekit.cli.output_options import add_output_options
from framekit.errors import Fault, SpecError
from framekit.pipeline import STANDARD_BACKENDS
from framekit.solution.model import Solution
from framekit.spec.build import load_spec, parse_spec
from framekit.spec.measure import Measure, MeasureError, parse_length
from framekit.spec.model import Spec


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    add_output_options(parser)
    parser.add_argument("--step", default=f"{STEP}", help=f"mm from slot to slot; default {STEP}")
    parser.add_argument("--slots", type=int, default=SLOTS, help=f"how many; default {SLOTS}")
    parser.add_argument("--strips", type=int, default=STRIPS, help=f"how many; default {STRIPS}")
    parser.add_argument(
        "--reading",
        action="append",
        default=[],
        metavar="NAME=MM",
        help="what was measured, again for more: slot=3.10, strips=119.2, caliper=3.02,3.05,3.01",
    )
    parser.add_argument("--readings", metavar="FILE", help="a YAML file of readings")
    parser.add_argument(
        "--resolution", metavar="MM", help=f"the caliper's last digit; default {RESOLUTION}"
    )
    parser.add_argument(
        "--caliper-error",
        metavar="MM",
        help=f"what the caliper may be off at most; default {CALIPER_ERROR}",
    )
    parser.add_argument(
        "--write", action="store_true", help="put what was found into the spec, and only that"
    )
    parser.add_argument("--json", action="store_true", help="print numbers as JSON instead")


def run(options: argparse.Namespace) -> int:
    """Write a coupon, or print what its readings come to; 1 when a check fails with them, else 0.

    Raises SpecError for words that do not go together.
    """
    reading = bool(options.reading or options.readings)
    _refuse_mixed(options, reading)
    # One reading of the file, so that what is changed is what was understood.
    old, text = _bytes_of(Path(options.spec))
    spec = parse_spec(text, options.spec) if text is not None else load_spec(options.spec)
    solution = solve_spec(spec)
    readings = _readings(options) if reading else Readings()
    plan = plan_coupon(
        solution.frames[0],
        _length("--step", options.step),
        options.slots,
        options.strips,
        readings.engraved,
    )
    if not reading:
        return _make(options, solution, plan)
    fit = fit_of(solution.frames[0], plan, readings)
    changes = _changes(spec, fit)
    after = _written(options, old, text, changes) if options.write and text is not None else None
    if options.json:
        print(json.dumps(_numbers(fit, changes, options.write), ensure_ascii=False))
    else:
        _print_fit(options, spec, fit, changes)
        for check in after.failed if after is not None else ():
            print(f"FAILS  {check.code} of {check.about}: {check.text}")
    return 1 if after is not None and after.failed else 0


def _refuse_mixed(options: argparse.Namespace, reading: bool) -> None:
    what = ""
    if reading and (options.out or options.backend):
        what, hint = "readings write no drawing", "Leave --out and --backend out."
    elif not reading and options.write:
        what, hint = "there is nothing to write into the spec", "Give readings, such as slot=3.10."
    elif not reading and (options.resolution or options.caliper_error):
        what, hint = "a caliper is described, but no readings are given", "Add --reading."
    if what:
        raise SpecError(Fault("coupon-words", what, hint=hint))


def _bytes_of(path: Path) -> tuple[bytes, str | None]:
    """The spec's bytes and text, no text where the reader of specs has to say what is wrong."""
    from framekit.spec.yaml_text import LARGEST_TEXT

    try:
        if not path.is_file() or path.stat().st_size > 4 * LARGEST_TEXT:
            return b"", None
        data = path.read_bytes()
        return data, data.decode("utf-8-sig")
    except (OSError, ValueError):
        return b"", None


def _length(name: str, raw: str) -> float:
    try:
        measure = parse_length(raw)
    except MeasureError as error:
        raise SpecError(Fault("coupon-words", f"{name}: {error}", hint=error.hint)) from None
    return measure.value


def _readings(options: argparse.Namespace) -> Readings:
    from framekit.spec.readings_text import parse_readings

    found = parse_readings(options.reading, Path(options.readings) if options.readings else None)
    limits = {
        name: found[name][0] if name in found else default
        for name, default in (("resolution", RESOLUTION), ("caliper_error", CALIPER_ERROR))
    }
    for name, raw in (
        ("resolution", options.resolution),
        ("caliper_error", options.caliper_error),
    ):
        if raw is not None:
            limits[name] = _length(f"--{name.replace('_', '-')}", raw)
    if not (0 < limits["resolution"] <= 1 and 0 <= limits["caliper_error"] <= 1):
        raise SpecError(
            Fault(
                "coupon-words",
                f"a caliper of {limits['resolution']:g} mm, off by {limits['caliper_error']:g} mm",
                hint="Both lie between 0 and 1 mm.",
            )
        )
    slot, engraved = (found[name][0] if name in found else None for name in ("slot", "engraved"))
    return Readings(
        slot,
        found.get("strips", ()),
        found.get("caliper", ()),
        limits["resolution"],
        limits["caliper_error"],
        engraved,
    )


def _make(options: argparse.Namespace, solution: Solution, plan: CouponPlan) -> int:
    from framekit.files.build import write_sheets
    from framekit.files.cautions import cautions
    from framekit.parts.shape.coupon import coupon_parts
    from framekit.sheets.rows import lay_in_rows

    sheets = lay_in_rows(coupon_parts(solution, plan), "coupon")
    folder = Path(options.out) if options.out else Path(options.spec).parent / solution.spec.id
    files = write_sheets(sheets, folder, options.backend or STANDARD_BACKENDS)
    if options.json:
        from framekit.files.document import result_document

        print(result_document(solution, None, sheets, files.files).model_dump_json())
        return 0
    (sheet,) = sheets.sheets
    print(
        f"{sheet.id}: {sheet.stock}, {sheet.used_length:.0f} × {sheet.used_width:.0f} mm of the "
        f"sheet, {sheet.cut_length / 1000:.2f} m of cut, about {sheet.seconds / 60:.0f} min"
    )
    shown = [plan.label(slot) for slot in plan.slots]
    print(f"slots: {', '.join(shown)} mm finished; {plan.label(plan.middle)} is the spec's")
    if plan.left_out:
        print(f"left out, too narrow for the cutter: {', '.join(map(plan.label, plan.left_out))}")
    if plan.strips:
        print(
            f"strips: {plan.strips} of {plan.strip_width:g} mm, cuts {plan.strip_path:.4g} mm apart"
        )
    if solution.frames[0].spec.cutter.compensate == "machine":
        print(f"The machine must allow for a kerf of {plan.allowance:.4g} mm, as the spec says.")
    for file in files.files:
        print(f"wrote {file.path}")
    stack = " --reading strips=…" if plan.strips else ""
    print(f"next: framekit coupon {options.spec} --reading slot=…{stack} --reading caliper=…,…,…")
    print()
    for sentence in cautions(solution.frames[0].spec.cutter.process):
        print(sentence)
    return 0


def _changes(spec: Spec, fit: Fit) -> dict[str, str]:
    """What goes into the spec, by dotted path; a set's shared part has it."""
    above = "" if spec.plan is None else "shared."
    return {f"{above}{_key(spec, found)}": measure_text(found) for found in fit.estimates}


def _key(spec: Spec, found: Estimate) -> str:
    if found.kind == "kerf" and spec.frames[0].cutter.tool_diameter is not None:
        return "cutter.tool_diameter"
    return QUANTITIES[found.kind]


def _written(
    options: argparse.Namespace, old: bytes, text: str, changes: dict[str, str]
) -> Solution:
    """The solution of the spec as it was rewritten.

    It is read and solved before the old file is replaced. Raises SpecError where a frame would
    not take the new values, so that nothing is written.
    """
    from framekit.spec.rewrite import BYTE_ORDER_MARK, replace_file, rewritten

    instead = {path: "fit" for path in changes if path.endswith("joint.clearance")}
    new = rewritten(text, changes, instead, options.spec)
    after = parse_spec(new, options.spec)
    for path, value in changes.items():
        section, key = path.split(".")[-2:]
        wanted = _length_of(value)
        for frame in after.frames:
            if getattr(getattr(frame, section), key) != wanted:
                raise SpecError(
                    Fault(
                        "own-value",
                        f"frame {frame.id} has its own {section}.{key}, so nothing was written",
                        frame.where(section, key),
                        "Remove it there, or paste the printed lines by hand.",
                    )
                )
    solution = solve_spec(after)
    mark = BYTE_ORDER_MARK if old.startswith(BYTE_ORDER_MARK.encode()) else ""
    replace_file(Path(options.spec), old, f"{mark}{new}".encode())
    return solution


def _length_of(value: str) -> Measure:
    """The length, with its tolerance, that a value in YAML means."""
    from framekit.spec.yaml_text import read_yaml

    return parse_length(read_yaml(value, None).values)


def _print_fit(options: argparse.Namespace, spec: Spec, fit: Fit, changes: dict[str, str]) -> None:
    print(fit_text(fit))
    print()
    if options.write:
        print(f"wrote {options.spec}: {', '.join(changes)}; nothing else in it was changed")
        print(
            "The spec is another now than the one this coupon was drawn for: with more readings of "
            f"it say engraved={fit.plan.allowance:.4g}."
        )
        print(f"next: framekit check {options.spec}")
        return
    joint = spec.frames[0].joint
    if fit.clearance is not None and joint.fit is not None:
        print(f"To paste into {options.spec}, the clearance in place of 'fit: {joint.fit}':")
    else:
        print(f"To paste into {options.spec}, or again with --write:")
    print("\n".join(yaml_lines(list(changes.items()))))


def _numbers(fit: Fit, changes: dict[str, str], written: bool) -> dict[str, Any]:
    """The readings' results as plain values: mm, shares from 0 to 1."""
    check = fit.cross_check
    return {
        "framekit": 1,
        "estimates": {
            QUANTITIES[found.kind]: {
                "value": found.value,
                "standard_uncertainty": found.uncertainty,
                "half_width": found.half_width,
                "level": LEVEL,
                "factor": found.factor,
                "freedom": found.freedom if found.freedom != float("inf") else None,
                "tolerance": found.tolerance,
                "spread": found.spread,
                "shares": {c.name: c.share for c in found.contributions},
                "unit": "mm",
            }
            for found in fit.estimates
        },
        "cross_check": None
        if check is None
        else {
            "kerf_of_slot": check.slot,
            "half_width": check.slot_half_width,
            "difference": check.difference,
            "limit": check.limit,
            "agrees": check.agrees,
        },
        "changes": changes,
        "written": written,
    }
