"""Every recipe that can be built is read back equal from each form, or is refused with the reason and nothing is written."""

from __future__ import annotations

import csv
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import FileFaultsError, GlazeError
from glazecalc.recipe import USES

FORMS = (".txt", ".yaml", ".csv")
TRAPS = (
    "Plus clay", "Blue #2", "Silica #325", "1984", "cone", "cone 6", "total", "total eclipse", "base", "Add", "+ clay", "- clay", "name: x",
    "silica 12", "12 silica", "5 g", "1. silica", "NO", "null", "~", "#", "\\#", "a\\", "é", "e\u0301", " x", "x  y", "a,b", "a;b", '"', "'x'", "= 1",
    "note", "tr", "some clay", "^6", "use: plate", "Clay ... 5", "x" * 400, "\u00a0x", "[a]", "{a: b}", "&a", "*a", "!a", "%", "| x", "> y", "ab\u200bc",
)  # fmt: skip
words = st.one_of(st.sampled_from(TRAPS), st.text(max_size=20))
amounts = st.one_of(st.integers(0, 2000).map(float), st.floats(0, 1e300), st.decimals(0, 2000, places=3).map(float))
lines = st.builds(
    dict,
    material=st.one_of(st.sampled_from(("silica", "kaolin", "Silica #325")), words),
    amount=amounts,
    unit=st.sampled_from(("", "", "", "g", "kg", "lb", "%")),
    addition=st.booleans(),
    note=st.one_of(st.just(""), words),
)
recipes = st.builds(
    dict,
    name=words,
    lines=st.lists(lines, max_size=4),
    cone=st.sampled_from(("", "6", "06", "5.5", "5-6", "04-03.5", "^10R", "1240 C", "2200-2232 F")),
    atmosphere=st.one_of(st.sampled_from(("", "oxidation", "ox", "R")), words),
    cooling=st.sampled_from(
        ("", "slow", "Fast cooled", "held at 1050 C for 2 h", "150 F/h to 1400 F", "slow, hold 20 min at 900 C")
    ),
    use=st.sampled_from(("", *USES)),
    **{key: st.one_of(st.just(""), words) for key in ("body", "version", "based_on", "notes")},
)


def written_and_read(recipe: gc.Recipe, ending: str) -> gc.Recipe | None:
    """Return what is read back, or None where the writer refused; then no file is there."""
    with TemporaryDirectory() as folder:
        path = Path(folder, f"recipe{ending}")
        said = refusal(recipe, path)
        if not said:
            return gc.read_recipe(path)
        assert "read back" in said
        assert not list(Path(folder).iterdir())
        return None


def refusal(recipe: gc.Recipe, path: Path) -> str:
    """Write a recipe; return what the writer said where it refused."""
    try:
        gc.write_recipe(recipe, path)
    except FileFaultsError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("ending", FORMS)
@given(fields=recipes)
def test_equal_or_refused(ending: str, fields: dict[str, object]):
    try:
        made = [gc.Ingredient(**line) for line in fields["lines"]]
        recipe = gc.Recipe(**{key: value for key, value in fields.items() if key != "lines"}, ingredients=made)
    except GlazeError:
        return
    back = written_and_read(recipe, ending)
    assert back is None or back == recipe


@pytest.mark.parametrize("ending", [".txt", ".yaml"])
@pytest.mark.parametrize("name", ["Plus clay", "Blue #2", "1984", "total eclipse", "cone", "Add"])
def test_titles_that_look_like_something_else(ending: str, name: str):
    recipe = gc.Recipe.from_parts(name, {"Silica #325": 30.125, "kaolin": 500}, {"red iron oxide": 8})
    assert written_and_read(recipe, ending) == recipe


@pytest.mark.parametrize("ending", [".txt", ".yaml"])
def test_the_base_stands_before_the_additions_whatever_the_order(ending: str):
    top = gc.Ingredient(material="red iron oxide", amount=8, addition=True)
    recipe = gc.Recipe(name="T", ingredients=(top, gc.Ingredient(material="silica", amount=30)))
    assert [line.material for line in recipe.ingredients] == ["silica", "red iron oxide"]
    assert written_and_read(recipe, ending) == recipe


def test_csv_keeps_the_card_and_stays_a_table(tmp_path: Path):
    """The card stands in comments: who reads `material,amount[,unit][,role]` alone reads the same lines."""
    card = {
        "cone": "6", "atmosphere": "oxidation", "use": "plate", "cooling": "slow", "body": "Slate", "version": "3", "based_on": "Tarn; old, \"blue\"",
        "notes": "two coats, thin\n\n#3 \U0001f525 is better",
    }  # fmt: skip
    lines = (
        gc.Ingredient(material='silica "fine", #325', amount=30),
        gc.Ingredient(material="red iron oxide", amount=8, unit="%", addition=True, note="sieved"),
    )
    recipe = gc.Recipe(name="Harbour Black", ingredients=lines, **card)
    path = tmp_path / "r.csv"
    gc.write_recipe(recipe, path)
    assert gc.read_recipe(path) == recipe
    rows = list(csv.DictReader(line for line in path.open(encoding="utf-8") if line.lstrip('"')[0] != "#"))
    assert [(row["material"], row["amount"], row["unit"], row["role"]) for row in rows] == [
        ('silica "fine", #325', "30", "", "base"),
        ("red iron oxide", "8", "%", "addition"),
    ]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_csv_that_a_spreadsheet_has_saved_again_is_the_same_recipe(tmp_path: Path, delimiter: str):
    recipe = gc.Recipe(
        name="Tarn, white; old",
        ingredients=(gc.Ingredient(material="silica", amount=30),),
        cone="6",
        notes="thin, even",
    )
    path = tmp_path / "r.csv"
    gc.write_recipe(recipe, path)
    width = 4
    with path.open(encoding="utf-8", newline="") as file:
        cells = [row + [""] * (width - len(row)) for row in csv.reader(file)]
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file, delimiter=delimiter).writerows(cells)
    assert gc.read_recipe(path) == recipe


def test_a_csv_without_a_name_takes_that_of_its_file(tmp_path: Path):
    (tmp_path / "harbour-black.csv").write_text("# cone: 6 ox\nmaterial,amount\nsilica,30\n", encoding="utf-8")
    recipe = gc.read_recipe(tmp_path / "harbour-black.csv")
    assert (recipe.name, recipe.cone, recipe.atmosphere) == ("harbour black", "6", "oxidation")
    (tmp_path / "r.csv").write_text("# name:\nmaterial,amount\nsilica,30\n", encoding="utf-8")
    assert gc.read_recipe(tmp_path / "r.csv").name == ""


def test_what_a_comment_above_a_table_says_wrongly_is_told_with_its_line(tmp_path: Path):
    path = tmp_path / "r.csv"
    path.write_text("# of May\n# cone: about six\n# use: plates\nmaterial,amount\nsilica,x\n", encoding="utf-8")
    with pytest.raises(FileFaultsError) as caught:
        gc.read_recipe(path)
    assert [fault.line for fault in caught.value.faults] == [2, 3, 5]
    path.write_text("# atmoshpere: ox\nmaterial,amount\nsilica,30\n", encoding="utf-8")
    (notice,) = gc.read_recipe(path).notices
    assert "Did you mean 'atmosphere:'" in notice.message


def test_a_plus_before_a_name_is_an_addition_or_asked_about(tmp_path: Path):
    path = tmp_path / "r.csv"
    path.write_text("material,amount\nsilica,30\n+ red iron oxide,8\n", encoding="utf-8")
    recipe = gc.read_recipe(path)
    assert [(i.material, i.addition) for i in recipe.ingredients] == [("silica", False), ("red iron oxide", True)]
    assert [notice.code for notice in recipe.notices] == ["read-as-addition"]
    path.write_text("material,amount,role\nsilica,30,\n+ red iron oxide,8,base\n", encoding="utf-8")
    with pytest.raises(FileFaultsError, match="r.csv:3: .* sign of an addition and the role base"):
        gc.read_recipe(path)
