"""The data files, the generated module, the reference page and the look-up by name."""

import pickle
import subprocess
import sys

import pytest

from framekit.catalogue import generate, load
from framekit.catalogue.read import read_bodies, read_materials
from framekit.errors import FramekitError, UnknownNameError, Where

DATA = generate.HERE / "data"


def test_generated_module_is_up_to_date() -> None:
    expected = generate.module_text(generate.read_catalogue())
    assert generate.MODULE.read_text(encoding="utf-8") == expected


def test_reference_page_is_up_to_date() -> None:
    expected = generate.page_text(generate.read_catalogue())
    assert generate.PAGE.read_text(encoding="utf-8") == expected


def test_loaded_rows_are_the_rows_of_the_data_files() -> None:
    catalogue = generate.read_catalogue()
    assert load.bodies() == catalogue.bodies
    assert load.materials() == catalogue.materials
    assert load.cautions() == catalogue.cautions
    assert [load.body(row.name) for row in catalogue.bodies] == list(catalogue.bodies)
    assert [load.material(row.name) for row in catalogue.materials] == list(catalogue.materials)


def test_main_writes_both_files(tmp_path, monkeypatch) -> None:
    module, page = tmp_path / "generated.py", tmp_path / "docs" / "reference" / "catalogue.md"
    monkeypatch.setattr(generate, "MODULE", module)
    monkeypatch.setattr(generate, "PAGE", page)
    generate.main()
    catalogue = generate.read_catalogue()
    assert module.read_bytes() == generate.module_text(catalogue).encode()
    assert page.read_bytes() == generate.page_text(catalogue).encode()


def test_page_shows_every_row() -> None:
    page = generate.PAGE.read_text(encoding="utf-8")
    for row in (*load.bodies(), *load.materials()):
        assert f"| `{row.name}` |" in page
    for caution in load.cautions():
        assert caution.text in page


def test_loading_reads_no_yaml_and_no_heavy_library() -> None:
    program = (
        "import sys\nfrom framekit.catalogue.load import body\nbody('saturn')\n"
        "print([m for m in ('ruamel.yaml', 'pydantic', 'numpy', 'sympy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


@pytest.mark.parametrize(
    ("call", "name", "code", "words"),
    [
        (load.body, "titon", "unknown-body", ("'titan'", "'triton'", "The bodies are: sun")),
        (load.body, "Saturn", "unknown-body", ("'saturn'",)),
        (load.body, "xyzzy", "unknown-body", ("sun, mercury", "charon")),
        (load.body, "", "unknown-body", ("sun, mercury",)),
        (
            load.material,
            "birch plywod",
            "unknown-material",
            ("'birch-plywood'", "The materials are"),
        ),
        (load.material, "steel", "unknown-material", ("birch-plywood", "cardboard")),
        (load.material, "PVC", "material-refused", ("hydrogen chloride", "Use one of")),
        (load.material, "abs", "material-refused", ("toxic",)),
    ],
)
def test_unknown_names_say_what_to_write(call, name, code, words) -> None:
    place = Where("moons.yaml", 4, 12, "body.catalogue")
    with pytest.raises(UnknownNameError) as caught:
        call(name, place)
    error = pickle.loads(pickle.dumps(caught.value))
    assert error.code == code
    assert error.where == place
    assert f"'{name}'" in error.message
    for word in words:
        assert word in str(error)


def test_unknown_fit() -> None:
    with pytest.raises(UnknownNameError, match="slip, snug or press"):
        load.material("mdf").clearance("tight")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("polar: 54364 ± 10 km", "polar: 54364 ± 10 miles", "saturn.polar"),
        ("polar: 54364 ± 10 km", "polar: about 54364 km", "not like '12.3 km'"),
        ("polar: 54364 ± 10 km", "polar: 54364 ± 10 km exactly", "saturn.polar"),
        ("polar: 54364 ± 10 km", "polar_radius: 54364 km", "no 'polar'"),
        ("title: Saturn,", "title: Saturn, colour: gold,", "unknown key 'colour'"),
        ("title: Saturn,", "title: 6,", "is not text"),
        ("kind: dwarf,", "kind: comet,", "is 'comet', not one of star, planet"),
        ("around: neptune,", "around: vulcan,", "goes round 'vulcan'"),
        ("deg,   source: poles}", "deg,   source: hearsay}", "is 'hearsay'"),
        ("\nobliquities:\n", "\nobliquities:\n  vulcan: {value: 3 deg, source: poles}\n", "vulcan"),
        ("\nrings:\n", "\ncolours: {}\nrings:\n", "unknown key 'colours'"),
        ("\nrings:\n", "\nrings: 7\nignored:\n", "rings is not a mapping"),
    ],
)
def test_faulty_bodies_are_refused(old, new, words) -> None:
    text = (DATA / "bodies.yaml").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(FramekitError) as caught:
        read_bodies(text.replace(old, new, 1))
    assert caught.value.code == "catalogue-data"
    assert words in caught.value.message


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("slip:      {value: 0.10 mm", "slip:      {value: 0.10 in", "slip.value"),
        ("web:       {value: 1.0 t", "webs:      {value: 1.0 t", "no 'web'"),
        ("title: MDF", "title: MDF\n    colour: brown", "unknown key 'colour'"),
        ("low: 3.5 mm,", "lowest: 3.5 mm,", "unknown key 'lowest'"),
    ],
)
def test_faulty_materials_are_refused(old, new, words) -> None:
    text = (DATA / "materials.yaml").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(FramekitError) as caught:
        read_materials(text.replace(old, new, 1))
    assert caught.value.code == "catalogue-data"
    assert words in caught.value.message


def test_figures_read_back_as_they_are_written() -> None:
    text = (DATA / "bodies.yaml").read_text(encoding="utf-8")
    assert str(load.body("sun").equatorial_radius) == "695700 km exactly"
    assert str(load.body("ceres").equatorial_radius) == "487.3 km"
    assert "polar: 54364 ± 10 km" in text
    assert str(load.body("saturn").polar_radius) == "54364 ± 10 km"
    assert load.body("saturn").flattening == pytest.approx(1 - 54364 / 60268, rel=1e-14)
