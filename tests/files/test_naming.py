"""File names made from foreign text."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framekit.files.naming import LONGEST_NAME, is_plain_name, safe_name


@pytest.mark.parametrize(
    "text, name",
    [
        ("buoy-sheet-1", "buoy-sheet-1"),
        ("Harbour buoy, quarter size", "Harbour-buoy-quarter-size"),
        ("../../etc/passwd", "etc-passwd"),
        ("..\\..\\boot.ini", "boot.ini"),
        ("C:\\Users\\x", "C-Users-x"),
        (".hidden", "hidden"),
        ("...", "unnamed"),
        ("", "unnamed"),
        ("a\x00b\nc", "a-b-c"),
        ("CON", "_CON"),
        ("nul.tar", "_nul.tar"),
        ("LPT1", "_LPT1"),
        ("console", "console"),
        ("trailing. ", "trailing"),
        ("Ä\u0308rger", "Ä\u0308rger"),
        ("e\u0301", "é"),
        ("ﬁne", "fine"),
        ("a\u202egvs.exe", "a-gvs.exe"),
        ("~root $HOME *?|<>", "root-HOME"),
    ],
)
def test_names(text, name):
    assert safe_name(text) == unicodedata.normalize("NFC", name)


def test_long_names_are_cut_between_letters():
    assert safe_name("é" * 200) == "é" * (LONGEST_NAME // 2)
    assert len(safe_name("🛟é" * 200).encode()) <= LONGEST_NAME


@given(st.text(max_size=200))
def test_any_text_gives_a_plain_name(text):
    name = safe_name(text)
    assert name and safe_name(name) == name
    assert not set(name) & set('/\\:*?"<>|\0') and not name.startswith((".", "-"))
    assert not any(ord(c) < 32 for c in name)
    assert len(name.encode()) <= LONGEST_NAME + 1
    assert is_plain_name(f"{name}.svg")


@pytest.mark.parametrize("name", ["a/b.svg", "../a.svg", "a", ".svg", "a.", "a.s/g", "con.svg", ""])
def test_what_is_no_plain_name(name):
    assert not is_plain_name(name)
