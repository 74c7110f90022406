"""Broken backends and nesters, one for each thing their kits find."""

from __future__ import annotations

import pytest

from framekit.errors import Fault, NestError
from framekit.files.model import Document
from framekit.sheets.nest.quick.nester import QuickNester
from framekit.sheets.protocol import NestResult, Place
from framekit.testing import check_backend, check_nester


class Broken:
    """A backend that keeps no promise; data that ends in ! grows by a byte each time."""

    def __init__(self, *documents, name="broken"):
        self.name = name
        self.documents = documents
        self.calls = 0

    def render(self, sheets):
        self.calls += 1
        grown = b"x" * self.calls
        return tuple(Document(n, d + grown if d[-1:] == b"!" else d) for n, d in self.documents)


@pytest.mark.parametrize(
    ("backend", "words"),
    [
        (Broken(("a.txt", b"x"), name="A b"), "plain lower case"),
        (Broken(), "no file"),
        (Broken(("a.txt", b"x"), ("a.txt", b"y")), "one name"),
        (Broken(("../a.txt", b"x")), "not plain"),
        (Broken(("a.txt", "text")), "not bytes"),
        (Broken(("a.txt", b"")), "is empty"),
        (Broken(("a.txt", b"changes!")), "different bytes"),
    ],
)
def test_broken_backends(backend, words):
    with pytest.raises(AssertionError, match=words):
        check_backend(backend)


class Heap:
    """A nester that puts everything on one spot."""

    name = "heap"

    def nest(self, job, progress=None):
        places = [
            Place(i, copy, 50.0, 50.0, 0.0)
            for i, item in enumerate(job.items)
            for copy in range(item.copies)
        ]
        return NestResult((tuple(places),))


class Careless(QuickNester):
    """The quick nester, but for what is too large."""

    name = "careless"
    fault = None

    def nest(self, job, progress=None):
        if job.items[0].key == "big":
            if self.fault is None:
                return NestResult(())
            raise NestError(self.fault)
        return super().nest(job, progress)


class Curt(Careless):
    name = "curt"
    fault = Fault("no-room", "no")


@pytest.mark.parametrize(
    ("nester", "words"),
    [
        (Heap(), "not legal"),
        (Careless(), "was not refused"),
        (Curt(), "no remedy"),
        (QuickNester(name="LOUD"), "plain lower case"),
    ],
)
def test_broken_nesters(nester, words):
    with pytest.raises(AssertionError, match=words):
        check_nester(nester)
