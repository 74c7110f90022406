"""The largest scale of a set, against bisection over `check` that knows nothing of ranges."""

from __future__ import annotations

import os
import random
from dataclasses import replace

import pytest

from framekit import solve
from framekit.analysis.set_scale import scale_groups, scale_range
from framekit.errors import FramekitError, SolveError
from framekit.solution.build import solve as solve_frames
from framekit.spec.build import spec_from_values
from framekit.spec.model import Spec

MOONS = ("titan", "moon", "europa", "io", "mars", "mercury", "triton", "ceres", "venus", "saturn")


def random_set(seed: int) -> dict[str, object]:
    rng = random.Random(seed)
    count = rng.randint(2, 4)
    shared = {
        "sheet": {
            "thickness": rng.choice([1.5, 3.02, 4.1]),
            "size": [rng.randint(300, 900), rng.randint(250, 600)],
        },
        "cutter": {"kerf": 0.16},
        "ribs": {
            "count": rng.randint(4, 10),
            "width": {"equator": rng.randint(16, 24), "pole": rng.randint(12, 16)},
        },
        "discs": [
            {"at": {"height": 0}},
            {"at": {"fraction": rng.choice([0.4, 0.5, 0.6]), "both": True}},
        ],
    }
    frames = [
        {"id": f"F{n}", "body": {"catalogue": name}}
        for n, name in enumerate(rng.sample(MOONS, count))
    ]
    return {"framekit": 1, "scale": "largest", "shared": shared, "frames": frames}


def works(spec: Spec, denominator: float) -> bool:
    """Whether every frame passes every check at a scale, by solving each."""
    for frame in spec.frames:
        one = Spec(None, frame.id, frame.title, (replace(frame, scale=denominator),))
        try:
            if solve(one).failed:
                return False
        except FramekitError:
            return False
    return True


def brute_force(spec: Spec) -> float | None:
    """The least denominator that works, by a scan and bisection; None where none does."""
    scan = [10 ** (5 + 7 * i / 900) for i in range(901)]
    first = next((i for i, x in enumerate(scan) if works(spec, x)), None)
    if first is None:
        return None
    bad, good = scan[first - 1], scan[first]
    while good - bad > 1e-9 * good:
        middle = (bad + good) / 2
        bad, good = (bad, middle) if works(spec, middle) else (middle, good)
    return good


SEEDS = range(50 if os.environ.get("FRAMEKIT_PROFILE") == "full" else 2)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_largest_scale_is_what_brute_force_finds(seed):
    spec = spec_from_values(random_set(seed))
    expected = brute_force(spec)
    try:
        found = solve(spec)
    except SolveError as error:
        assert error.code in ("scales-exclude", "no-scale") and expected is None
        return
    assert found.scale is not None and expected is not None
    # 1e-6: what the issue of one scale asks; both methods stop nearer.
    assert found.scale.denominator == pytest.approx(expected, rel=1e-6)
    assert not found.failed


def test_frames_that_exclude_each_other_are_named_with_ways_out():
    values = random_set(0)
    values["frames"] = [
        {"id": "big", "body": {"catalogue": "jupiter"}},
        {"id": "small", "body": {"catalogue": "mimas"}},
    ]
    with pytest.raises(SolveError) as caught:
        solve(spec_from_values(values))
    assert caught.value.code == "scales-exclude"
    assert "big" in caught.value.message and "small" in caught.value.message
    assert (
        "factor of" in caught.value.message and "Split the set into 2 scales" in caught.value.hint
    )
    spec = spec_from_values(values)
    one = [scale_range(frame) for frame in spec.frames]
    groups = scale_groups(one)
    assert [[r.frame for r in group] for group in groups] == [["big"], ["small"]]
    # By hand: the ratio of the ends named in the sentence.
    assert f"{one[0].low / one[1].high:.3g}" in caught.value.message


def test_the_solver_of_frames_does_not_look_for_the_scale_of_a_set():
    spec = spec_from_values(random_set(0))
    with pytest.raises(ValueError, match="largest scale is still to be found"):
        solve_frames(spec)
