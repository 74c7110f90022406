"""The rows of the result document on piles of sheets."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from framekit.calibration.batches import judge_batches
from framekit.solution.model import FrameSolution

Finite = Annotated[float, Field(allow_inf_nan=False)]


class BatchRow(BaseModel):
    """A pile of sheets that was measured, and whether the drawn file works with it; mm."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    count: int | None = Field(description="Sheets, null where the spec does not say.")
    thickness: Finite
    low: Finite = Field(description="The next sheet lies from low to high.")
    high: Finite
    verdict: Literal["pass", "fail", "undecided"]
    text: str


def batch_rows(solution: FrameSolution) -> tuple[BatchRow, ...]:
    """The rows of a frame's batches, in the order of the spec."""
    return tuple(
        BatchRow(
            name=found.name,
            count=found.count,
            thickness=found.thickness.value,
            low=found.low,
            high=found.high,
            verdict=found.verdict,
            text=found.text,
        )
        for found in judge_batches(solution)
    )
