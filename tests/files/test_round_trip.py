"""Every recipe that can be built is read back equal from each form, or is refused with the reason and nothing is written."""

from __future__ import annotations

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


def test_csv_has_no_place_for_more_than_the_lines(tmp_path: Path):
    recipe = gc.Recipe.from_parts("Harbour Black", {"silica": 30}, {"red iron oxide": 8})
    gc.write_recipe(recipe, tmp_path / "Harbour-Black.csv")
    assert gc.read_recipe(tmp_path / "Harbour-Black.csv") == recipe
    with pytest.raises(FileFaultsError, match="name: 'Harbour Black' would be read back as 'r'"):
        gc.write_recipe(recipe, tmp_path / "r.csv")
    with pytest.raises(FileFaultsError, match="cone: '6' would be read back as ''"):
        gc.write_recipe(gc.Recipe.from_parts("r", {"silica": 30}, cone="6"), tmp_path / "r.csv")
