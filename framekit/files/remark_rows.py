"""Remarks on an assembled frame in the result document."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel, ConfigDict, Field

from framekit.parts.model import Remark


class RemarkRow(BaseModel):
    """What is to be known of an assembled frame and is no error."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    code: str
    parts: tuple[str, ...] = Field(description="Ids of the parts that it is about.")
    text: str
    contradicts_pass: bool = Field(
        description="The cut alone does not hold these parts, which a pass promises."
    )


def remark_rows(remarks: Sequence[Remark]) -> tuple[RemarkRow, ...]:
    """The remarks on a frame, in their order."""
    return tuple(
        RemarkRow(
            code=remark.code,
            parts=remark.parts,
            text=remark.text,
            contradicts_pass=remark.contradicts_pass,
        )
        for remark in remarks
    )
