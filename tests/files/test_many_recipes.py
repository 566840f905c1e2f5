"""Many recipes from a folder or one table: rows in are recipes and rejects, each with file, line and reason."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import FileFaultsError
from glazecalc.folder_report import check_folder

WIDE = """# the book of 2023, untidy as it is
Name;Cone;Atmosfere;use;Potash feldspar;Whiting;Kaolin;Silica;+ Red iron oxide;+ tin oxide %;Total;notes
Rill;6;ox;bowl;40;18;12;30;;;100;two coats, thin
Rill brown;6;ox;;40,5;17,5;12;30;8 %;;100;
Tarn;10R;;;40;18;12;30;-;0;108;
Quay;six;;;40;18;12;30;;tr;;
Moss;about six;;;40;18;12;30;;;;
;04;;;40;18;12;30;2;1;;
Bare;6;;;;;;;;;;
Sum;;;;240;108;72;180;;;;
"""
LONG = """recipe,material,amount,unit,role,cone,notes
Rill,potash feldspar,40,,,6 ox,thin
Tarn,litharge,60,,,04,
Rill,whiting,20,,base,,thin
Rill,silica,40,,base,6,
Tarn,silica,x,,,,
Rill,+ red iron oxide,8,%,,,
,kaolin,3,,,,
"""


def read(folder: Path, text: str, *, materials: gc.MaterialLibrary | None = None) -> gc.RecipeCollection:
    path = folder / "book.csv"
    path.write_text(text, encoding="utf-8")
    return gc.read_recipes(path, materials)


@pytest.fixture(scope="module")
def library() -> gc.MaterialLibrary:
    return gc.load_materials()


def test_a_row_a_recipe(tmp_path: Path, library: gc.MaterialLibrary):
    """Rows in are recipes and rejects: none is dropped, each reject has its line and its reason."""
    found = read(tmp_path, WIDE, materials=library)
    assert [recipe.name for recipe in found.recipes] == ["Rill", "Rill brown", ""]
    assert [row.label for row in found.rows] == ["Rill", "Rill brown", "book (line 8)"]
    rill, brown, nameless = found.recipes
    assert (rill.cone, rill.atmosphere, rill.use, rill.notes) == ("6", "oxidation", "bowl", "two coats, thin")
    assert [(i.material, i.amount, i.unit) for i in brown.additions] == [("Red iron oxide", 8, "%")]
    assert [(i.material, i.amount, i.unit) for i in nameless.additions] == [
        ("Red iron oxide", 2, ""),
        ("tin oxide", 1, "%"),
    ]
    assert [(one.name, one.line) for one in found.rejects] == [
        ("Tarn", 5),
        ("Quay", 6),
        ("Moss", 7),
        ("Bare", 9),
        ("Sum", 10),
    ]
    reasons = {one.name: one.reason for one in found.rejects}
    assert "the total is given as 108, but the base adds to 100" in reasons["Tarn"]
    assert "'tr'" in reasons["Quay"]
    assert "about six" in reasons["Moss"]
    assert "no amounts" in reasons["Bare"]
    assert "row of totals" in reasons["Sum"]
    assert len(found.recipes) + len(found.rejects) == len(WIDE.splitlines()) - 2
    assert "'Atmosfere' is read as atmosphere" in " ".join(notice.message for notice in found.notices)


def test_a_row_an_ingredient(tmp_path: Path):
    found = read(tmp_path, LONG)
    (rill,) = found.recipes
    assert (rill.cone, rill.atmosphere, rill.notes) == ("6", "oxidation", "thin")
    assert rill.amounts() == [40, 20, 40, 8]
    assert [(one.name, one.line, [fault.line for fault in one.faults]) for one in found.rejects] == [
        ("Tarn", 3, [6]),
        ("line 8", 8, [8]),
    ]


def test_the_card_of_a_recipe_is_said_once_or_alike(tmp_path: Path):
    text = "recipe,material,amount,cone\nRill,silica,40,6\nRill,kaolin,60,10\nTarn,silica,100,6\n"
    (reject,) = read(tmp_path, text).rejects
    assert "line 3: the cone is given twice, 6 and 10." in reject.reason


def test_a_table_of_one_recipe_is_one(tmp_path: Path):
    found = read(tmp_path, "# cone: 6\nmaterial,amount\nsilica,40\nkaolin,60\n")
    assert [(r.name, r.cone, r.amounts()) for r in found.recipes] == [("book", "6", [40, 60])]


def test_a_table_of_many_is_not_read_as_one(tmp_path: Path):
    (tmp_path / "book.csv").write_text(LONG, encoding="utf-8")
    with pytest.raises(FileFaultsError, match="the table holds 2 recipes: Rill, Tarn.*read_recipes"):
        gc.read_recipe(tmp_path / "book.csv")


def test_units_behind_a_name_and_names_that_only_look_so(tmp_path: Path):
    found = read(tmp_path, "glaze,silica (325),kaolin (g),whiting [g],+ tin oxide (%)\nRill,30 g,20,50,5\n")
    assert [(i.material, i.unit) for i in found.recipes[0].ingredients] == [
        ("silica (325)", "g"), ("kaolin", "g"), ("whiting", "g"), ("tin oxide", "%"),
    ]  # fmt: skip
    assert found.recipes[0].amounts() == [30, 20, 50, 5]


def test_a_column_without_amounts_is_said_and_never_counts(tmp_path: Path, library: gc.MaterialLibrary):
    text = "name,No,where kept,silica,kaolin,,bentonite\nRill,1,third shelf,40,60,,some\nTarn,2,bin 4,40,60,blue,\n"
    found = read(tmp_path, text, materials=library)
    (notice,) = [n for n in found.notices if n.code == "columns-not-read"]
    assert all(name in notice.message for name in ("No", "where kept", "one without a name"))
    assert [one.name for one in found.rejects] == ["Rill"]  # bentonite is a material, and 'some' no amount
    assert [recipe.name for recipe in found.recipes] == ["Tarn"]


def test_a_number_with_two_readings_rejects_its_row_alone(tmp_path: Path):
    found = read(tmp_path, "name;silica;kaolin\nRill;40,5;59,5\nTarn;1.250;60\nQuay;40;60\n")
    assert [r.name for r in found.recipes] == ["Rill", "Quay"]
    assert "1.250" in found.rejects[0].reason


def test_names_that_mean_nothing_are_rejects_with_the_near_ones(tmp_path: Path, library: gc.MaterialLibrary):
    text = "name,whiting,kaolin,Horsley spar\nRill,40,60,\nTarn,40,50,10\n"
    found = read(tmp_path, text, materials=library)
    assert [recipe.name for recipe in found.recipes] == ["Rill"]
    (reject,) = found.rejects
    assert (reject.file, reject.name, reject.line) == ("book.csv", "Tarn", 3)
    assert "Horsley spar" in reject.reason


def test_a_folder_is_picked_as_check_picks_it(tmp_path: Path, library: gc.MaterialLibrary):
    files = {
        "rill 10.txt": "name: Rill 10\ncone 6\nsilica 40\nkaolin 60\n", "rill 2.txt": "name: Rill 2\nsilica 40\nkaolin 60\n", "tide.csv": "material,amount\nsilica,40\n",
        "spar.txt": "Spar\nHorsley spar 40\nwhiting 20\n", "empty.txt": "", "photo.jpg": "x", ".hidden.txt": "x",
    }  # fmt: skip
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    found = gc.read_recipes(tmp_path, library)
    looked_at = check_folder(tmp_path, library)
    assert [Path(recipe.path).name for recipe in found.recipes] == [row.file for row in looked_at.rows]
    assert {one.file for one in found.rejects} == {one.file for one in looked_at.rejects} == {"spar.txt", "empty.txt"}
    assert found.left_aside == looked_at.left_aside == ("photo.jpg",)
    assert "NOT READ" in str(found)
    frame = found.to_frame()
    assert list(frame.index) == ["Rill 2", "Rill 10", "tide"]
    assert list(frame["file"]) == ["rill 2.txt", "rill 10.txt", "tide.csv"]
    assert [one["file"] for one in frame.attrs["rejects"]] == [one.file for one in found.rejects]


def test_what_cannot_be_used_at_all_is_an_error_with_the_reasons(tmp_path: Path):
    with pytest.raises(FileFaultsError, match="none of them is a material"):
        read(tmp_path, "name,cone\nRill,6\n")
    with pytest.raises(FileFaultsError, match="none of name, Ingredient, grams is its amount"):
        read(tmp_path, "name,Ingredient,grams\nRill,Silica,30\n")
    with pytest.raises(FileFaultsError, match="holds no recipes"):
        read(tmp_path, "name,silica\n")
    with pytest.raises(FileFaultsError, match=r"(?s)Rill: .*no amounts.*Tarn: .*no recipe that can be read"):
        read(tmp_path, "name,silica\nRill,\nTarn,5 borax 10\n")
    with pytest.raises(FileFaultsError, match="no such file"):
        gc.read_recipes(tmp_path / "none.csv")
    (tmp_path / "book.xlsx").write_bytes(b"PK\x03\x04\xff")
    with pytest.raises(FileFaultsError, match="a .xlsx file is not read. Save it as CSV"):
        gc.read_recipes(tmp_path / "book.xlsx")


def test_the_parts_are_what_each_recipe_comes_to(tmp_path: Path, library: gc.MaterialLibrary):
    """Per cent of an addition is of its own base, two spellings are one column, and the table is that of recipe by recipe."""
    text = "name,silica,Silica 325 mesh,whiting,kaolin,+ red iron oxide %,+ silica\nRill,30,,40,30,8,\nTarn,60,60,40,40,4,5\nQuay,10 g,,20 g,5 g,8,\n"
    found = read(tmp_path, text, materials=library)
    with pytest.warns(gc.GlazeWarning, match="mesh"):
        parts = found.parts()
    assert list(parts.columns) == ["silica", "whiting", "kaolin", "red_iron_oxide"]
    assert parts.loc["Tarn"].tolist() == [125, 40, 40, 8]
    assert parts.attrs["notices"] == [notice.message for notice in found.notices]
    table = gc.unity_table(parts, library)
    for row in found.rows:
        alone = gc.unity_formula(row.recipe, library)
        assert table.loc[row.label].to_dict() == pytest.approx(dict.fromkeys(table.columns, 0.0) | dict(alone))
    joined = found.to_frame().join(table)
    assert joined.loc["Quay", "unit"] == "g"


names = st.sampled_from(["silica", "whiting", "kaolin", "potash feldspar", "talc"])
amounts = st.integers(1, 400).map(lambda tenths: tenths / 10)
recipes = st.lists(
    st.tuples(st.dictionaries(names, amounts, min_size=1), st.dictionaries(st.just("tin oxide"), amounts)),
    min_size=1,
    max_size=4,
)


@given(recipes, st.sampled_from([",", ";", "\t"]), st.booleans())
def test_both_forms_of_a_table_hold_the_same_recipes(made: list, delimiter: str, comma: bool):
    if comma and delimiter == ",":
        delimiter = ";"

    def number(amount: float) -> str:
        return str(amount).replace(".", ",") if comma else str(amount)

    columns = list(dict.fromkeys(name for base, _ in made for name in base))
    wide = [["name", *columns, "+ tin oxide"]]
    long = [["recipe", "role", "amount", "material"]]
    for place, (base, top) in enumerate(made):
        cells = [number(base[name]) if name in base else "" for name in columns]
        wide.append([f"Glaze {place}", *cells, number(top["tin oxide"]) if top else ""])
        long += [[f"Glaze {place}", "base", number(amount), name] for name, amount in base.items()]
        long += [[f"Glaze {place}", "addition", number(amount), name] for name, amount in top.items()]
    with TemporaryDirectory() as folder:
        both = []
        for name, rows in (("wide", wide), ("long", long)):
            path = Path(folder, f"{name}.csv")
            path.write_text("".join(delimiter.join(row) + "\n" for row in rows), encoding="utf-8")
            both.append(gc.read_recipes(path))
    for found in both:
        assert not found.rejects
        for recipe, (base, top) in zip(found.recipes, made, strict=True):
            assert {item.material: item.amount for item in recipe.base} == base
            assert {item.material: item.amount for item in recipe.additions} == top
    parts = both[0].parts()
    assert (parts == both[1].parts()[parts.columns]).all(axis=None)
