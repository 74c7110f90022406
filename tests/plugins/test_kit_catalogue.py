"""Broken catalogues, one for each thing the kit of catalogues finds; rows of several catalogues."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import count

import pytest

from framekit import plugins
from framekit.catalogue import load
from framekit.catalogue.model import Figure, RingRow
from framekit.errors import PluginError, UnknownNameError
from framekit.testing import check_catalogue

MOON = replace(load.body("titan"), name="moonlet")
PLANET = replace(load.body("earth"), name="other-earth")
CARD = replace(load.material("card"), name="school-card")


class Book:
    """A catalogue of given rows."""

    def __init__(self, bodies=(MOON,), materials=(CARD,), name="book"):
        self.name, self._bodies, self._materials = name, bodies, materials

    def bodies(self):
        return self._bodies

    def materials(self):
        return self._materials


class Moody(Book):
    """A catalogue whose rows are others each time."""

    numbers = count(1)

    def bodies(self):
        return (replace(MOON, name=f"moon-{next(self.numbers)}"),)


def km(value, unit="km", tolerance=None, source="this test"):
    return Figure(value, unit, tolerance, source)


def moon(**changed):
    return Book((replace(MOON, **changed),))


def card(**changed):
    return Book((), (replace(CARD, **changed),))


def mm(value):
    return Figure(value, "mm", None, "this test")


CASES = {
    "name": (Book(name="A Book"), "plain lower case"),
    "moody": (Moody(), "not the same each time"),
    "empty": (Book((), ()), "is empty"),
    "odd name": (moon(name="A Moon"), "plain lower case"),
    "own body": (Book((load.body("titan"),)), "would never be reached"),
    "own material": (Book((), (load.material("card"),)), "would never be reached"),
    "twice": (Book((MOON, MOON)), "two rows have one name"),
    "refused": (card(name="pvc"), "left out on purpose"),
    "title": (moon(title=" "), "no title"),
    "unit": (moon(polar_radius=km(2575.0, "m")), "is in m, not in km"),
    "infinite": (moon(polar_radius=km(math.inf)), "polar_radius is inf"),
    "tolerance": (moon(polar_radius=km(2575.0, tolerance=-1.0)), "tolerance -1.0"),
    "source": (moon(polar_radius=km(2575.0, source="")), "no source"),
    "ring source": (
        moon(rings=(RingRow("A", km(3000.0, source=""), km(4000.0)),)),
        "rings.inner has no source",
    ),
    "kind": (moon(kind="asteroid"), "is a 'asteroid'"),
    "radius": (moon(polar_radius=km(0.0)), "a radius of 0 km"),
    "around": (moon(around=None), "goes round None"),
    "planet": (Book((replace(PLANET, around="sun"),)), "a planet and goes round sun"),
    "nowhere": (moon(around="nowhere"), "which is no row"),
    "mean": (moon(mean_radius=km(2575.0), mean_kind=None), "without its kind"),
    "ring": (moon(rings=(RingRow("A", km(4000.0), km(3000.0)),)), "the ring A"),
    "density": (card(density=Figure(0.0, "kg/m³", None, "this test")), "no density"),
    "modulus": (card(modulus=Figure(0.0, "MPa", None, "this test")), "has a modulus"),
    "fits": (card(slip=mm(-0.2)), "do not rise"),
    "gaps": (card(least_gap=mm(0.5)), "not below the most"),
    "snug": (card(least_gap=mm(0.05)), "not within the gaps"),
    "web": (card(web=Figure(0.0, "t", None, "this test")), "not above zero"),
    "kerf": (card(kerf=mm(-0.1)), "kerf below zero"),
}


@pytest.mark.parametrize("name", CASES)
def test_broken_catalogues(name, register):
    book, words = CASES[name]
    register(plugins.CATALOGUES, book)
    with pytest.raises(AssertionError, match=words):
        check_catalogue(book)


def test_a_sound_one_passes(register):
    check_catalogue(register(plugins.CATALOGUES, Book((MOON, PLANET))))


def test_a_catalogue_that_is_not_installed(register):
    with pytest.raises(AssertionError, match="does not find the catalogue"):
        check_catalogue(Book(name="absent"))
    register(plugins.CATALOGUES, Moody(name="book"))
    with pytest.raises(AssertionError, match="is another"):
        check_catalogue(Book())


def test_a_row_that_another_has_too(register):
    first = register(plugins.CATALOGUES, Book(name="first"))
    register(plugins.CATALOGUES, Book(materials=(), name="second"))
    with pytest.raises(AssertionError, match="does not find 'moonlet'"):
        check_catalogue(first)
    with pytest.raises(PluginError, match="in the catalogues first and second"):
        load.body("moonlet")
    assert load.material("school-card") == CARD


def test_a_row_that_changes_between_asking(register):
    """The kit looks at what framekit finds."""

    class Late(Book):
        asked = count()

        def materials(self):
            late = next(self.asked) >= 2
            return (replace(CARD, title="late" if late else "card"),)

    with pytest.raises(AssertionError, match="finds another 'school-card'"):
        check_catalogue(register(plugins.CATALOGUES, Late(())))


def test_near_misses_come_from_all_catalogues(register):
    register(plugins.CATALOGUES, Book())
    for find, wrong, near in (
        (load.body, "moonlett", "moonlet"),
        (load.body, "titon", "titan"),
        (load.material, "school card", "school-card"),
    ):
        with pytest.raises(UnknownNameError) as error:
            find(wrong)
        meant, _, known = error.value.hint.partition("? ")
        assert f"'{near}'" in meant and near in known


def test_what_is_left_out_stays_out(register):
    """A plug-in cannot bring back a material that is left out because it is dangerous."""
    register(plugins.CATALOGUES, card(name="pvc"))
    with pytest.raises(UnknownNameError, match="left out on purpose"):
        load.material("pvc")


def test_own_rows_ask_no_plugin(monkeypatch):
    def never(group):
        raise AssertionError("the entry points were asked")

    monkeypatch.setattr(plugins, "_points", never)
    assert load.body("saturn").name == "saturn"
    assert load.material("card").name == "card"
