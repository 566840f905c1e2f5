"""The data behind the readings: every number has a source, every code is used, and the readings of the shipped rows are those of the program."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from glazecalc.estimate.melted import fired_set
from glazecalc.files.shipped import cite, load_data
from glazecalc.readings import melt, run
from glazecalc.readings.facts import Heat
from glazecalc.readings.reading import reading_codes
from tests.calibration import fired_set as calibration
from tests.readings.pot import facts

ROOM = sorted((Path(str(resources.files("glazecalc"))) / "readings").glob("*.py"))
CODE = "".join(path.read_text(encoding="utf-8") for path in ROOM)


def entries():
    yield from load_data("reading_thresholds.yaml")["thresholds"].items()
    yield from load_data("fired_bands.yaml")["choices"].items()
    for group in load_data("reading_materials.yaml").values():
        yield from group.items()
    yield from load_data("surface_rules.yaml")["names"].items()


@pytest.mark.parametrize(("name", "entry"), list(entries()), ids=lambda value: value if isinstance(value, str) else "")
def test_every_number_has_a_source_or_a_mark(name: str, entry):
    assert cite(entry), name
    assert entry["confidence"] in ("low", "medium", "high")


def test_every_code_and_threshold_is_used():
    for code, entry in reading_codes().items():
        assert f'"{code}"' in CODE or f'f"{{about}}-{code.removeprefix(entry.about + "-")}"' in CODE, code
    for key in load_data("reading_thresholds.yaml")["thresholds"]:
        assert f'"{key}"' in CODE, key


@pytest.mark.parametrize("path", ROOM, ids=lambda path: path.name)
def test_no_threshold_stands_in_the_code(path: Path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    places = {
        id(node.slice) for node in ast.walk(tree) if isinstance(node, ast.Subscript)
    }  # x[2] is a place, not a number
    numbers = {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool)
        if id(node) not in places
    }
    shown_at_most = {
        "fired_melt.py": {2, 3},
        "bench.py": {2},
        "coat.py": {2, 4},
        "two_lines.py": {2, 90},
    }  # how many are named, kinds of trouble, room on the page
    assert numbers <= {0, 1, 100} | shown_at_most.get(path.name, set()), numbers


def test_the_shipped_rows_read_as_the_calibration_reads_them():
    bands, any_glaze = fired_set().viscosity, facts({"silica": 100})
    for row in calibration.rows():
        found = replace(
            any_glaze, mole_percent=row.glaze, cone=row.cone or "x", heats=(Heat(name="x", celsius=row.celsius),)
        )
        assert melt.read(found).code == calibration.melt_class(row, bands.melt_upper_tenth), row.id
        assert run.read(found).code == calibration.run_class(row, bands.run_lower_tenth), row.id


def test_the_bands_count_what_the_rows_hold():
    """The classes as fired_glazes.md counts them: 67 matured, 6 ran, 7 and 3 did not melt; 27 glossy, 5 crazed, 7 sound, none shivered."""
    fired = fired_set()
    viscosity, expansion = fired.viscosity, fired.expansion
    assert (fired.glazes, fired.sources) == (83, 30)
    assert [
        g.n for g in (viscosity.matured, viscosity.ran, viscosity.not_melted, viscosity.crawl_glazes_not_melted)
    ] == [67, 6, 7, 3]
    assert [g.n for g in (expansion.crazed, expansion.sound, expansion.shivered)] == [5, 7, 0]
    assert fired.silica_alumina_ratio.gloss.n == 27
    for group in (viscosity.matured, expansion.matured, fired.silica_alumina_ratio.gloss):
        assert list(group.values) == sorted(group.values)
        assert len(group.values) == group.n


def test_no_reading_speaks_a_verdict():
    assert not re.search(r"\b(?:food[- ])?safe\b|\bpass(?:es|ed)\b|\bharmless\b", CODE, re.IGNORECASE)
