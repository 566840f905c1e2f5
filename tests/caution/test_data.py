"""The data behind the cautions: every number has a source, every code is in the table, and no text gives a verdict."""

import ast
import re
from importlib import resources
from pathlib import Path

import pytest
import yaml

from glazecalc.caution.caution import ABOUT, Severity
from glazecalc.caution.codes import CODES, codes_table
from glazecalc.caution.thresholds import by_cone, threshold
from glazecalc.files.shipped import load_data

PACKAGE = Path(str(resources.files("glazecalc")))
FILES = ("food_limits", "food_limits_comparators", "food_limits_sources", "food_metals", "durability_ranges", "caution_thresholds", "surface_rules",
         "kiln_emissions", "test_methods", "ratio_conventions")  # fmt: skip
SOURCES = load_data("food_limits_sources.yaml")["sources"]
_FIELDS = {
    "value",
    "values",
    "unit",
    "raises",
    "source",
    "from_memory",
    "citation",
    "confidence",
    "recommendation",
    "basis",
    "evidence",
}
# "safe" and "passes" as words of a verdict; a safety data sheet is neither
VERDICT = re.compile(r"\b(?:food[- ])?safe\b|\bpass(?:es|ed)\b|\bsafely\b|\bharmless\b", re.IGNORECASE)


def has_source(entry: dict) -> bool:
    if entry.get("from_memory"):
        return bool(entry.get("citation")) and entry.get("confidence") in ("low", "medium", "high")
    if entry.get("recommendation"):
        return bool(entry.get("basis")) and entry.get("confidence") in ("low", "medium", "high")
    return entry.get("source") in SOURCES


def entries():
    data = load_data("caution_thresholds.yaml")
    for section in ("thresholds", "by_cone"):
        yield from ((f"{section}.{key}", entry) for key, entry in data[section].items())
    yield "bench", data["bench"]
    for key, entry in load_data("food_metals.yaml")["metals"].items():
        yield f"metals.{key}", entry
    for key in ("copper_with_lead", "copper_with_metals"):
        yield key, load_data("food_metals.yaml")[key]
    for entry in load_data("durability_ranges.yaml")["ranges"]:
        yield f"range.{entry['id']}", entry
    for entry in load_data("ratio_conventions.yaml")["conventions"]:
        yield f"ratio.{entry['who']}", entry
    rules = load_data("surface_rules.yaml")
    for entry in rules["codes"]:
        yield f"code.{entry['id']}", entry
    for key, entry in rules["absorption"].items():
        yield f"absorption.{key}", entry
    kiln = load_data("kiln_emissions.yaml")
    for group in ("gases", "metals"):
        for key, entry in kiln[group].items():
            yield f"kiln.{key}", entry
            for number, limit in enumerate(entry["limits"]):
                yield f"kiln.{key}.limit{number}", limit
    for key, entry in load_data("test_methods.yaml")["methods"].items():
        yield f"method.{key}", entry


@pytest.mark.parametrize(("name", "entry"), list(entries()), ids=lambda value: value if isinstance(value, str) else "")
def test_every_number_has_a_source_or_a_memory_mark(name, entry):
    assert has_source(entry), name
    assert all(key in SOURCES for key in entry.get("evidence", ())), name


def test_a_threshold_without_a_source_would_be_caught():
    assert not has_source({"value": 1, "unit": "x"})
    assert not has_source({"value": 1, "from_memory": True, "citation": "a book"})
    assert not has_source({"value": 1, "recommendation": True, "confidence": "low"})
    assert not has_source({"value": 1, "source": "NO_SUCH_KEY"})


def test_thresholds_have_known_fields_only():
    """A comma in an unquoted flow mapping would cut a text and make a field of its rest."""
    data = load_data("caution_thresholds.yaml")
    for section in ("thresholds", "by_cone"):
        for key, entry in data[section].items():
            assert set(entry) <= _FIELDS, key
            assert set(entry["raises"]) <= set(CODES), key


def test_every_threshold_is_used():
    code = "".join(path.read_text(encoding="utf-8") for path in (PACKAGE / "caution").glob("*.py"))
    kiln = (PACKAGE / "data" / "kiln_emissions.yaml").read_text(encoding="utf-8")
    data = load_data("caution_thresholds.yaml")
    for section in ("thresholds", "by_cone"):
        for key in data[section]:
            assert f'"{key}"' in code or f"threshold: {key}" in kiln, key


def test_no_threshold_stands_in_the_code():
    """A bare float in a comparison or call of the rules would be a threshold without a source."""
    allowed = {0.0, 0.5, 1e-6, 1e-9, 50.0, 100.0}  # nothing, half, rounding, "more than half of an analysis", per cent
    for name in ("food", "durability", "kiln", "surface", "bench", "colour_load"):
        tree = ast.parse((PACKAGE / "caution" / f"{name}.py").read_text(encoding="utf-8"))
        floats = {
            node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, float)
        }
        assert floats <= allowed, (name, floats - allowed)


def test_every_code_in_the_program_is_in_the_table_and_no_other():
    written = set()
    for name in ("food", "durability", "surface", "bench", "crawling"):
        tree = ast.parse((PACKAGE / "caution" / f"{name}.py").read_text(encoding="utf-8"))
        text = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
        written |= text & set(CODES)
        for node in ast.walk(tree):
            if isinstance(node, ast.keyword) and node.arg == "code" and isinstance(node.value, ast.Constant):
                assert node.value.value in CODES
    kiln = load_data("kiln_emissions.yaml")
    written |= {entry["code"] for group in ("gases", "metals") for entry in kiln[group].values()}
    written |= {f"{surface}-on-food" for surface in load_data("surface_rules.yaml")["surfaces"]}
    written |= {f"{name}-below-detection" for name in ("lead", "cadmium")}
    assert written == set(CODES)


def test_the_table_is_that_of_the_program():
    """Made by codes_table(); write it anew when a code or a threshold changes."""
    assert (Path(__file__).parent / "caution_codes.md").read_text(encoding="utf-8") == codes_table()
    assert all(
        code.about in ABOUT and {*code.on_food, *code.otherwise} <= {str(step) for step in Severity}
        for code in CODES.values()
    )


@pytest.mark.parametrize(
    "path", sorted([*(PACKAGE / "caution").glob("*.py"), PACKAGE / "cli" / "lab.py"]), ids=lambda path: path.name
)
def test_no_text_of_the_program_gives_a_verdict(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    texts = [node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    assert not [text for text in texts if VERDICT.search(text)]


@pytest.mark.parametrize("name", [*FILES, "bench_hazards"])
def test_no_text_of_the_data_gives_a_verdict(name):
    def texts(value):
        if isinstance(value, str):
            yield value
        elif isinstance(value, dict):
            for key, item in value.items():
                if key != "seen_at":  # an address is quoted as it is
                    yield from texts(item)
        elif isinstance(value, list):
            for item in value:
                yield from texts(item)

    assert not [text for text in texts(load_data(f"{name}.yaml")) if VERDICT.search(text)]


def test_the_verdict_pattern_catches_what_it_should():
    for text in ("food safe", "It is safe.", "this glaze passes", "passed the test", "Food-Safe"):
        assert VERDICT.search(text)
    for text in ("safety data sheet", "bypass", "passing water"):
        assert not VERDICT.search(text)


@pytest.mark.parametrize("name", FILES)
def test_no_text_was_cut_at_a_comma(name):
    """In a flow mapping 'a, b' unquoted makes a field 'b' of nothing."""
    loaded = yaml.safe_load((PACKAGE / "data" / f"{name}.yaml").read_text(encoding="utf-8"))
    empty = {"limit", "unit"}  # figures that were not found

    def walk(value, path):
        if isinstance(value, dict):
            for key, item in value.items():
                assert item is not None or key in empty, f"{path}.{key}"
                walk(item, f"{path}.{key}")
        elif isinstance(value, list):
            for item in value:
                walk(item, path)

    walk(loaded, name)


def test_evidence_values():
    assert threshold("copper_look").unit.startswith("parts CuO")
    assert by_cone("silica_floor").values["6"] == 2.5
    with pytest.raises(KeyError):
        threshold("no_such_threshold")


def test_titles_are_short_and_hold_no_figure_and_no_verdict():
    titles = [code.title for code in CODES.values()]
    assert len(set(titles)) == len(titles)
    for title in titles:
        assert 2 <= len(title.split()) <= 6, title
        assert title[0].isupper()
        assert not re.search(r"\d|\.$", title), title
        assert not VERDICT.search(title), title


def test_lead_and_cadmium_are_never_folded_and_no_other_is():
    about_them = {name for name, code in CODES.items() if re.search("lead|cadmium", code.title, re.IGNORECASE)}
    assert {name for name, code in CODES.items() if code.never_folded} == about_them
    assert len(about_them) == 8
