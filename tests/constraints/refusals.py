"""What a refusal of something a stranger wrote must be: soon, and a sentence with a remedy."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from framekit.errors import SpecError


@contextmanager
def spent(seconds: float) -> Iterator[None]:
    """Fail when the block takes more of the processor; other programs' load does not count."""
    start = time.process_time()
    yield
    assert time.process_time() - start < seconds


def refusal(call: Callable[[], Any]) -> str:
    """Return the sentence of the refusal, which has to come within 2 seconds."""
    with spent(2), pytest.raises(SpecError) as caught:
        call()
    fault = caught.value.faults[0]
    assert len(fault.message) > 15 and fault.hint
    assert len(str(fault)) < 500
    return str(fault)
