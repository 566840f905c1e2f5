"""A material file as a bag's sheet prints it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import FileFaultsError, GlazeError
from glazecalc.files.material_sheet import new_sheet
from glazecalc.files.materials import read_material, read_material_text
from glazecalc.kind_words import kind_meant
from glazecalc.material import KINDS

SHEET = """name: Slate clay
analysis:
  SiO2: 60.1 %
  Al2O3: 25.3%
  K2O: 2
  Fe2O3: <0.05
  MgO: n.d.
  {loss}: 12.5 %
source: {{title: the maker's sheet of May}}
"""


@pytest.mark.parametrize("loss", ["LOI", "loi", "L.O.I.", "Loss on ignition"])
def test_per_cent_signs_the_loss_among_the_oxides_and_no_id(tmp_path: Path, loss: str):
    path = tmp_path / "slate-clay.yaml"
    path.write_text(SHEET.format(loss=loss), encoding="utf-8")
    material = read_material(path)
    assert material.id == "slate-clay"
    assert material.analysis == {"SiO2": 60.1, "Al2O3": 25.3, "K2O": 2}
    assert material.below_detection == {"Fe2O3": "<0.05", "MgO": "n.d."}
    assert material.loi_percent == 12.5


def test_a_dash_for_nothing_is_answered_in_plain_words(tmp_path: Path):
    """To a sheet a dash says "none" or "not measured", to YAML that a list begins: which of them is asked, of every line at once."""
    path = tmp_path / "slate.yaml"
    path.write_text(
        SHEET.format(loss="LOI").replace("K2O: 2", "K2O: -\n  CaO: -  # none seen\n  BaO: '-'"), encoding="utf-8"
    )
    with pytest.raises(FileFaultsError) as caught:
        read_material(path)
    assert [(fault.line, fault.message) for fault in caught.value.faults] == [
        (5, "'K2O' is '-', which is no value."),
        (6, "'CaO' is '-', which is no value."),
    ]
    assert all("n.d. where it lies below detection" in fault.hint for fault in caught.value.faults)
    assert "YAML" not in str(caught.value)


def test_two_losses_are_refused_at_their_line(tmp_path: Path):
    path = tmp_path / "slate.yaml"
    path.write_text(SHEET.format(loss="LOI") + "loi_percent: 9\n", encoding="utf-8")
    with pytest.raises(FileFaultsError, match="slate.yaml:8: 'LOI' is 12.5, and loi_percent 9"):
        read_material(path)


def test_a_number_with_another_sign_is_refused_at_its_line(tmp_path: Path):
    path = tmp_path / "slate.yaml"
    path.write_text("name: Slate\nanalysis:\n  SiO2: 60.1 ppm\nsource: {title: t}\n", encoding="utf-8")
    with pytest.raises(FileFaultsError, match="slate.yaml:3: 'analysis: SiO2'"):
        read_material(path)


# ---- as printed on bags


def read(text: str, name: str = "spar.yaml") -> gc.Material:
    return read_material_text(text, name)


def faults_of(text: str) -> list[gc.errors.Fault]:
    with pytest.raises(FileFaultsError) as raised:
        read(text)
    return list(raised.value.faults)


def sheet(*lines: str, kind: str = "feldspar") -> str:
    listed = "".join(f"  {line}\n" for line in lines)
    return f"name: Spar\nkind: {kind}\nanalysis:\n{listed}source: {{title: t}}\n"


@pytest.mark.parametrize(
    "iron", ["Fe2O3 (T)", "Fe2O3(T)", "Fe2O3T", "Fe2O3 total", "Fe2O3 (tot.)", "total Fe2O3", "Fe\u2082O\u2083 (T)", "Fe2O3 (%)", "Fe2O3 wt%", "Fe2O3"]
)  # fmt: skip
def test_all_the_iron_is_iron_oxide(iron: str):
    assert read(sheet("SiO2: 98", f"{iron}: 1.2", "LOI: 0.8")).analysis == {"SiO2": 98, "Fe2O3": 1.2}


@given(
    st.permutations(
        ["SiO2: 66", "Al2O3: 18", "K2O: 10 %", "Na2O: 3", "Fe2O3 (T): <0.05", "TiO2: n.d.", "CaO:", "L.O.I.: 0.4%"]
    )
)
def test_oxides_stand_in_any_order(lines: list[str]):
    material = read(sheet(*lines))
    assert dict(material.analysis) == {"SiO2": 66, "Al2O3": 18, "K2O": 10, "Na2O": 3}
    assert dict(material.below_detection) == {"Fe2O3": "<0.05", "TiO2": "n.d."}
    assert "CaO" not in {*material.analysis, *material.below_detection}  # the third state: not reported
    assert material.loi_percent == 0.4
    (said,) = (n.message for n in material.notices if n.code == "oxides-left-blank")
    assert said == "Spar: left blank, so not reported: CaO."


@pytest.mark.parametrize(
    "loss",
    ["LOI", "L.O.I.", "L.O.I", "loi", "LOI (1000 C)", "L.O.I. 1025 C", "Loss on ignition", "Loss on ignition, 1000 C"],
)
def test_the_loss_is_known_by_its_names(loss: str):
    assert read(sheet("SiO2: 98", f'"{loss}": 1.5')).loi_percent == 1.5


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("CaCO3: 3", "formula: CaCO3"), ("KAlSi3O8: 3", "formula: KAlSi3O8"), ("KNaO: 12", "Give Na2O and K2O separately"), ("Total: 99.9", "the sum is worked out"),
        ("BaO: '-'", "n.d. where it lies below detection"), ("P2O5: 0.1-0.2", "under 'tolerance'"), ("P2O5: 0.1 \u00b1 0.05", "Write the number"),
        ("P2O5: 0,1", "decimal point"), ("sio2: 2", "Did you mean 'SiO2'"), ("MgO: <3", "specification"),
    ],
)  # fmt: skip
def test_each_line_at_fault_is_told_once_with_its_mend(line: str, mend: str):
    (fault,) = faults_of(sheet("SiO2: 97", line))
    assert fault.line == 5
    assert mend in f"{fault.message} {fault.hint}"


@pytest.mark.parametrize("other", ["FeO: 0.3", "Fe2O3: 0.3"])
def test_iron_is_not_counted_twice(other: str):
    for lines in (("Fe2O3 (T): 1.2", other), (other, "Fe2O3 (T): 1.2")):
        (fault,) = faults_of(sheet("SiO2: 97", *lines))
        assert "Keep one of them" in fault.hint
    assert read(sheet("SiO2: 97", "Fe2O3: 1.2", "FeO: 0.3")).analysis["FeO"] == 0.3  # both measured


@pytest.mark.parametrize(
    ("line", "mend"),
    [
        ("LOI: 0.4", "Did you mean 'loi_percent'?"), ("L.O.I.: 0.4", "Did you mean 'loi_percent'?"), ("SiO2: 60", "under 'analysis:'"), ("price: 12", "shelf file"),
        ("brand: Horsley", "'supplier'"), ("knd: clay", "Did you mean 'kind'?"),
    ],
)  # fmt: skip
def test_an_unknown_field_is_told_with_what_was_meant(line: str, mend: str):
    (fault,) = faults_of(f"{line}\n{sheet('SiO2: 99')}")
    assert (fault.line, mend in fault.hint) == (1, True)


def test_the_known_fields_are_listed_once():
    told = [fault.hint for fault in faults_of(f"shade: 1\nwarmth: 2\nluck: 3\n{sheet('SiO2: 99')}")]
    assert [hint.startswith("Known: id, name") for hint in told] == [True, False, False]


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("kaolin", "clay"), ("ball clay", "clay"), ("bentonite", "clay"), ("quartz", "silica"), ("spar", "feldspar"), ("whiting", "alkaline_earth"),
        ("stain", "colourant"), ("wood ash", "ash"), ("gum", "additive"), ("zinc borate frit", "frit"),
    ],
)  # fmt: skip
def test_a_word_of_the_trade_leads_to_its_kind(word: str, kind: str):
    (fault,) = faults_of(sheet("SiO2: 99", kind=word))
    assert (fault.line, fault.hint) == (2, f"Write '{kind}'.")
    assert kind_meant(word) == kind


# ---- a sheet to fill in

names = st.one_of(
    st.sampled_from(("Potash feldspar, Horsley", "Kaolin", "no", "325", "A: b #3 'x'", "- x", "\u00e9clat", "null")),
    st.text(min_size=1, max_size=30),
)


def filled(text: str, numbers: dict[str, float], title: str = "sheet of May") -> str:
    for oxide, number in numbers.items():
        text = re.sub(rf"(?m)^  {oxide}:$", f"  {oxide}: {number}", text)
    return re.sub(r"(?m)^  title: ", f"  title: {title} ", text)


@pytest.mark.parametrize("kind", KINDS)
def test_an_unfilled_sheet_says_which_fields_to_fill(library: gc.MaterialLibrary, kind: str):
    sheet = new_sheet("Horsley bag", library, kind=kind)
    lines = sheet.text.splitlines()
    faults = faults_of(sheet.text)
    assert [fault.message.split("'")[1] for fault in faults] == ["analysis", "source: title"]
    assert [lines[fault.line - 1].split(":")[0].strip() for fault in faults if fault.line] == ["analysis", "title"]
    (left,) = faults_of(filled(sheet.text, {"SiO2": 60, "Al2O3": 30}, title=""))
    assert "title" in left.message


@given(kind=st.sampled_from(KINDS), data=st.data())
def test_a_sheet_reads_back_as_soon_as_it_is_filled_in(library: gc.MaterialLibrary, kind: str, data: st.DataObject):
    sheet = new_sheet("Horsley bag", library, kind=kind)
    listed = re.findall(r"(?m)^  ([A-Z]\w*):$", sheet.text)
    numbers = data.draw(st.dictionaries(st.sampled_from(listed), st.integers(1, 12), min_size=1))
    material = read(filled(sheet.text, numbers), "another-name.yaml")
    assert (material.id, material.name, material.kind) == ("horsley_bag", "Horsley bag", kind)
    assert dict(material.analysis) == numbers
    assert material.hazards == ()  # they follow from what it holds
    assert material.source.title.startswith("sheet of May")


@given(names)
def test_every_name_that_a_material_may_have_gets_a_sheet_that_keeps_it(library: gc.MaterialLibrary, name: str):
    try:
        sheet = new_sheet(name, library)
    except GlazeError:
        return
    material = read(filled(sheet.text, {"SiO2": 60, "Al2O3": 20, "CaO": 5, "Fe2O3": 2, "ZnO": 3}))
    assert (material.id, material.name, material.kind) == (sheet.id, " ".join(name.split()), sheet.kind)
    assert Path(sheet.file_name).name == sheet.file_name


def test_a_formula_may_stand_in_place_of_the_analysis(library: gc.MaterialLibrary):
    text = filled(new_sheet("Cobalt carbonate, Horsley", library).text, {})
    assert read(re.sub(r"(?m)^formula: ", "formula: CoCO3 ", text)).analysis["CoO"] == pytest.approx(63.0, abs=0.1)


@pytest.mark.parametrize(
    ("name", "kind"),
    [("Potash feldspar, Horsley", "feldspar"), ("Horsley kaolin", "clay"), ("Soda ash, light, Horsley", "alkali"), ("Horsley no. 7", "other"), ("Red iron oxide H", "colourant")],
)  # fmt: skip
def test_the_kind_is_that_of_the_name(library: gc.MaterialLibrary, name: str, kind: str):
    expected = library.find("soda ash")[0].kind if kind == "alkali" else kind
    assert new_sheet(name, library).kind == expected


def test_a_sheet_in_place_of_a_bundled_material_says_so(library: gc.MaterialLibrary):
    assert "stands in place of Kaolin" in new_sheet("Kaolin", library).text
    assert "stands in place" not in new_sheet("Horsley kaolin", library).text


def test_a_card_with_unknown_names_offers_their_sheets(library: gc.MaterialLibrary):
    with pytest.raises(FileFaultsError) as raised:
        gc.resolve({"Horsley spar": 40, "whiting": 20, "Slate $5": 5, "kaolinn": 5}, library)
    offered = [fault.hint for fault in raised.value.faults if "--new" in fault.hint]
    assert len(offered) == 1
    for command in ('materials --new "Horsley spar"', "materials --new 'Slate $5'", 'materials --new "kaolinn"'):
        assert command in offered[0]
