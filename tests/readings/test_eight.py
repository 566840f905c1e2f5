"""The eight readings: always all, in their order, with the keys of the contract and codes of the one table."""

from __future__ import annotations

from pathlib import Path

import pytest

import glazecalc as gc
from glazecalc.errors import UnknownNameError
from glazecalc.files.materials import load_materials
from glazecalc.readings.reading import ABOUT, Reading, reading_codes

ROOT = Path(__file__).parents[2]
LIBRARY = load_materials()
STUDIO = load_materials(str(ROOT / "notebooks" / "studio" / "materials"))
ORDER = ["melt", "run", "surface", "fit", "coat", "wear", "food", "bench"]
KEYS = ["about", "code", "says", "because", "evidence", "do", "source"]
GLAZES = {
    "no flux, no alumina, no cone": ({"silica": 100}, ""),
    "lead": ({"lead bisilicate frit": 80, "kaolin": 20}, "04"),
    "manganese and little else": ({"manganese dioxide": 70, "ball clay": 20, "silica": 10}, "6"),
    "too hot for the charts": ({"potash feldspar": 60, "whiting": 20, "silica": 20}, "30"),
    "plain": ({"potash feldspar": 40, "whiting": 18, "kaolin": 12, "silica": 30}, "9"),
}


@pytest.mark.parametrize("name", GLAZES)
def test_every_report_has_the_eight_in_order(name: str):
    parts, cone = GLAZES[name]
    report = gc.check(parts, LIBRARY, cone=cone)
    assert [reading.about for reading in report.readings] == ORDER
    told = report.to_dict()["readings"]
    assert [list(reading) for reading in told] == [KEYS] * 8
    assert all(isinstance(reading["evidence"], dict) for reading in told)
    assert all(reading[key] for reading in told for key in ("code", "says", "because", "do", "source"))


@pytest.mark.parametrize("path", sorted((ROOT / "notebooks/studio/recipes").glob("*.txt")), ids=lambda path: path.stem)
def test_every_studio_page_opens_with_them(path):
    report = gc.check(gc.read_recipe(path), STUDIO)
    assert [reading.about for reading in report.readings] == ORDER


def test_a_code_belongs_to_one_question():
    assert tuple(ORDER) == ABOUT
    words = {"says": "s", "because": "b", "do": "d", "source": "s"}
    assert Reading(about="melt", code="melt-stiff", **words).title == reading_codes()["melt-stiff"].title
    for about, code in (("run", "melt-stiff"), ("melt", "melt-soft")):
        with pytest.raises(UnknownNameError, match=code):
            Reading(about=about, code=code, **words)
