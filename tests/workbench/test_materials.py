"""Materials in the workbench: the library with sources and hazards, and a new bag that becomes a file as it was printed."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.workbench.bag import bag_of, checked
from tests.workbench.bench import Workbench, shown

LIBRARY = gc.load_materials()
# An invented china clay; oxides and loss add to 99.85.
CLAY = {
    "name": "Horsley clay", "kind": "clay", "supplier": "Tarn Supplies", "lot": "H 12", "received": "2026-05-04", "title": "maker's sheet of May 2026",
    "o-SiO2": "47,1 %", "o-Al2O3": "37.2", "o-Fe2O3": "0.9", "o-K2O": "1.95", "o-TiO2": "<0,05", "o-CaO": "n.d.", "loi_percent": "12.7",
}  # fmt: skip


def save(bench: Workbench, do: str = "save", **changed: str):
    return bench.post("/materials/new", do=do, **(CLAY | changed))


def bag_file(bench: Workbench, name: str = "horsley_clay.yaml") -> Path:
    return bench.folder / "materials" / name


def faults(page: str) -> dict[str, str]:
    """What stands beside each field."""
    found = re.findall(r'<span class="wrong-here" id="([^"]*)-wrong">(.*?)</span>', page)
    return {name: shown(text) for name, text in found}


@pytest.mark.parametrize("field", ["supplier", "notes", "o-SiO2", "name"])
def test_what_is_too_long_for_a_field_is_said_and_not_left_out(bench: Workbench, field: str):
    answer = save(bench, **{field: "long " * 500})
    assert answer.status == 409
    assert "more than 2,000 letters" in " ".join(faults(answer.text).values())
    assert not bag_file(bench).exists()


def test_own_bags_stand_first_and_every_material_has_its_source_and_hazards(bench: Workbench):
    page = bench.get("/materials").text
    headings = re.findall(r"<h2>(.*?)</h2>", page)
    assert headings[0] == "Your own bags"
    assert "Feldspar" in headings
    listed = re.findall(r'href="/material/([^"]+)"', page)
    assert set(listed) == set(gc.load_materials(str(bench.folder / "materials")))
    for one in ("lead_bisilicate_frit", "kaolin", "studio_frit_zinc"):
        text = bench.get(f"/material/{one}").text
        assert "Where the numbers come from" in text
        assert "At the bench" in text
    assert "Lead" in shown(re.search(r"<tr[^>]*lead bisilicate.*?</tr>", page, re.DOTALL)[0])  # type: ignore[index]


def test_materials_are_found_by_name_oxide_and_hazard(bench: Workbench):
    for words, there, not_there in (
        ("frit zinc", "studio_frit_zinc", "kaolin"),
        ("li2o", "spodumene", "whiting"),
        ("quartz", "silica", "whiting"),
    ):
        listed = re.findall(r'href="/material/([^"]+)"', bench.get(f"/materials?q={words.replace(' ', '+')}").text)
        assert there in listed
        assert not_there not in listed
    assert "No material has all of these words" in bench.get("/materials?q=xyzzy").text


def test_a_material_names_the_cards_that_use_it(bench: Workbench):
    page = bench.get("/material/cobalt_carbonate").text
    assert 'href="/glaze/harbour-black.txt"' in page
    assert 'href="/glaze/rill-clear.txt"' not in page
    assert bench.get("/material/none").status == 404


def test_a_new_bag_becomes_a_file_as_any_other_and_the_cards_use_it(bench: Workbench):
    (bench.folder / "recipes" / "new.txt").write_text("New   cone 6\nHorsley clay 50\nsilica 50\n")
    assert "Horsley clay" in shown(bench.get("/glaze/new.txt").text)
    assert "no-answer" in bench.get("/glaze/new.txt").text
    answer = save(bench)
    assert answer.status == 303
    assert answer.headers["location"] == "/material/horsley_clay?said=saved"
    clay = gc.read_material(bag_file(bench))
    assert (clay.name, clay.kind, clay.supplier, clay.lot, clay.received) == (
        "Horsley clay",
        "clay",
        "Tarn Supplies",
        "H 12",
        "2026-05-04",
    )
    assert dict(clay.analysis) == {"SiO2": 47.1, "Al2O3": 37.2, "Fe2O3": 0.9, "K2O": 1.95}
    assert dict(clay.below_detection) == {"TiO2": "<0.05", "CaO": "n.d."}
    assert (clay.loi_percent, clay.source.title, clay.basis) == (12.7, "maker's sheet of May 2026", "own-sheet")
    page = bench.get(answer.headers["location"]).text
    assert "From now on your cards are worked out with it" in page
    assert 'href="/glaze/new.txt"' in page
    assert "no-answer" not in bench.get("/glaze/new.txt").text
    assert '<div class="answer-page"' in bench.get("/glaze/new.txt/do/scale?asked=1&base=300g").text


def test_the_sum_is_told_while_typing_with_every_fault_at_its_field(bench: Workbench):
    good = json.loads(bench.post("/materials/check", **CLAY).text)
    assert good["faults"] == {}
    assert "99.85" in shown(good["sum"])
    bad = CLAY | {
        "name": "",
        "title": "",
        "o-SiO2": "46-48",
        "o-Al2O3": "1,500",
        "loi_percent": "much",
        "moisture_percent": "-3",
        "kind": "stone",
    }
    found = json.loads(bench.post("/materials/check", **bad).text)["faults"]
    assert {"name", "title", "row-0", "row-1", "loi_percent"} <= set(found)
    assert "Write the middle" in found["row-0"]
    low = json.loads(bench.post("/materials/check", **(CLAY | {"o-Al2O3": "27.2"})).text)
    assert low["faults"] == {}
    assert "outside 98-102" in shown(low["sum"])


def test_without_script_a_check_says_the_same_and_keeps_what_was_typed(bench: Workbench):
    page = save(bench, "check", **{"o-SiO2": "abc", "other-1-name": "Li2O", "other-1": "0.3", "other-2": "5"}).text
    told = faults(page)
    assert "'abc'" in told["row-0"]
    assert "Which oxide" in page
    for typed in (
        'name="o-SiO2" value="abc"',
        'name="o-Li2O" value="0.3"',
        'name="lot" value="H 12"',
        'value="&lt;0,05"',
    ):
        assert typed in page
    assert not bag_file(bench).exists()
    page = save(bench, "kind", kind="frit").text
    assert 'name="o-B2O3"' in page  # the list of a frit
    assert 'name="o-SiO2" value="47,1 %"' in page


def test_a_bag_is_never_saved_over_another_unasked(bench: Workbench):
    save(bench)
    before = bag_file(bench).read_bytes()
    answer = save(bench, **{"o-SiO2": "48"})
    assert answer.status == 409
    assert "You have a file “horsley_clay.yaml” already" in shown(answer.text)
    assert bag_file(bench).read_bytes() == before
    seen = re.search(r'name="seen" value="(\w+)"', answer.text)
    assert seen is not None
    assert save(bench, **{"o-SiO2": "48", "seen": "0" * 64}).status == 409
    assert bag_file(bench).read_bytes() == before
    answer = save(bench, **{"o-SiO2": "48", "seen": seen[1]})
    assert answer.status == 303
    assert gc.read_material(bag_file(bench)).analysis["SiO2"] == 48
    (kept,) = (bag_file(bench).parent / ".glaze-history" / "horsley_clay.yaml").glob("*.yaml")
    assert kept.read_bytes() == before


def test_two_bags_do_not_answer_to_one_name(bench: Workbench):
    save(bench)
    answer = save(bench, name="Horsley clay 2", aliases="horsley clay")
    assert answer.status == 409
    assert "answers to 'horsley clay' already" in faults(answer.text)["name"]
    assert not bag_file(bench, "horsley_clay_2.yaml").exists()


def test_a_bag_that_takes_the_place_of_a_bundled_material_is_told(bench: Workbench):
    found = json.loads(bench.post("/materials/check", **(CLAY | {"name": "Kaolin"})).text)
    assert "stand in place of the Kaolin" in shown(found["sum"])
    save(bench, name="Kaolin")
    assert "stands in place of" in shown(bench.get("/materials").text)
    assert str(bench.folder) not in bench.get("/materials").text


def test_an_own_bag_is_changed_by_its_sheet(bench: Workbench):
    save(bench)
    page = bench.get("/materials/new?change=horsley_clay").text
    form = dict(re.findall(r'<input id="[^"]*" name="([^"]*)" value="([^"]*)"', page))
    form = {name: html.unescape(value) for name, value in form.items()} | {"kind": "clay"}
    before = gc.read_material(bag_file(bench))
    answer = bench.post("/materials/new", do="save", **form)
    assert answer.status == 409  # it asks, for the file is there
    seen = re.search(r'name="seen" value="(\w+)"', answer.text)[1]  # type: ignore[index]
    assert bench.post("/materials/new", do="save", **(form | {"seen": seen})).status == 303
    assert gc.read_material(bag_file(bench)) == before
    # what holds more than the form has fields for is left to a text editor
    assert bench.get("/materials/new?change=studio_frit_zinc").status == 404
    assert bench.get("/materials/new?change=kaolin").status == 404


@pytest.mark.parametrize(
    "name",
    [
        "../../outside",
        "/etc/x",
        "con",
        "a\0b",
        "x" * 300,
        "..",
        "\u202eevil",
        "<b>",
        "a: [b",
        "- x",
        "!!python/object:x",
        "*a",
        "#",
    ],
)
def test_odd_names_harm_nothing(bench: Workbench, name: str):
    before = set(bench.folder.parent.rglob("*"))
    answer = save(bench, name=name)
    assert answer.status in (303, 409)
    new = set(bench.folder.parent.rglob("*")) - before
    assert all(p.parent.name in ("materials", ".glaze-history") or p.name == ".glaze-history" for p in new)
    if answer.status == 303:
        (made,) = [p for p in new if p.suffix == ".yaml"]
        assert gc.read_material(made).name == name
        assert html.escape(name) in bench.get(answer.headers["location"]).text
    else:
        assert "<b></" not in answer.text


def test_a_materials_folder_that_leads_out_is_not_written_to(bench: Workbench, tmp_path: Path):
    (tmp_path / "elsewhere").mkdir()
    for file in (bench.folder / "materials").iterdir():
        file.unlink()
    (bench.folder / "materials").rmdir()
    (bench.folder / "materials").symlink_to(tmp_path / "elsewhere")
    answer = save(bench)
    assert answer.status == 409
    assert "leads out of the studio" in shown(answer.text)
    assert not list((tmp_path / "elsewhere").iterdir())


def test_the_folder_is_made_where_there_is_none(tmp_path: Path):
    from tests.workbench.bench import opened

    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "a.txt").write_text("A   cone 6\nkaolin 100\n")
    bench = opened(tmp_path)
    assert save(bench).status == 303
    assert gc.read_material(tmp_path / "materials" / "horsley_clay.yaml").name == "Horsley clay"


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    form=st.dictionaries(
        st.sampled_from([*CLAY, "notes", "aliases", "formula", "other-1-name", "other-1", "density_g_cm3"]),
        st.text(max_size=30),
    )
)
def test_whatever_is_typed_is_a_material_or_has_its_fault(form: dict[str, str]):
    found = checked(bag_of(CLAY | form), LIBRARY, [])
    assert (found.material is None) == bool(found.faults)
    if found.material is not None:
        assert found.material.name == " ".join((CLAY | form)["name"].split())
        assert found.text.isprintable() or "\n" in found.text
