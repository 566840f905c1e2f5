"""The data behind the cautions: every number has a source, every code is in the table, and no text gives a verdict."""

import ast
import copy
import dataclasses
import re
from importlib import resources
from pathlib import Path

import pytest
import yaml

from glazecalc.caution import atmosphere, emissions, metals, surface_rules, test_plan, thresholds
from glazecalc.caution.caution import ABOUT, Severity
from glazecalc.caution.codes import codes
from glazecalc.caution.crawling import high_tension, raw_causes
from glazecalc.caution.durability import PublishedRange, published_ranges
from glazecalc.caution.food import metal_cautions
from glazecalc.caution.hazards import concerns, hazards
from glazecalc.caution.kiln import fume_cautions, kiln_cautions
from glazecalc.caution.oxide_amounts import OxideAmounts
from glazecalc.caution.ratio import RatioConvention, ratio_conventions
from glazecalc.caution.thresholds import by_cone, threshold
from glazecalc.caution.weak_glass import SIGNS
from glazecalc.cones import Cone
from glazecalc.convert.unity import FiredAnalysis
from glazecalc.errors import GlazeError
from glazecalc.files.shipped import cite, load_data, read_entry
from glazecalc.lab import limits
from glazecalc.lab.duties import duties
from tests.caution import codes_table
from tests.caution.pot import batch, material

PACKAGE = Path(str(resources.files("glazecalc")))
FILES = ("food_limits", "food_limits_comparators", "food_limits_sources", "food_duties", "food_metals", "durability_ranges", "caution_thresholds", "surface_rules",
         "kiln_emissions", "atmosphere_rules", "test_methods", "ratio_conventions", "caution_codes", "crawling", "hazard_rules")  # fmt: skip
SOURCES = load_data("food_limits_sources.yaml")["sources"]
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
    for key, entry in load_data("food_metals.yaml")["metals"].items():
        yield f"metals.{key}", entry
        load = entry.get("load", {})
        for steps in (load.get("steps", {}), load.get("weak_steps", {})):
            for step, number in steps.items():
                yield f"metals.{key}.{step}", number
    yield from load_data("food_metals.yaml")["facts"].items()
    yield "alkaline_above", load_data("durability_ranges.yaml")["alkaline_above"]
    for entry in load_data("durability_ranges.yaml")["ranges"]:
        yield f"range.{entry['id']}", entry
    for entry in load_data("ratio_conventions.yaml")["conventions"]:
        yield f"ratio.{entry['author']}", entry
    rules = load_data("surface_rules.yaml")
    for entry in rules["codes"]:
        yield f"code.{entry['document']}", entry
    for key, entry in rules["absorption"].items():
        yield f"absorption.{key}", entry
    kiln = load_data("kiln_emissions.yaml")
    for group in ("gases", "metals"):
        for key, entry in kiln[group].items():
            yield f"kiln.{key}", entry
            for number, limit in enumerate(entry["limits"]):
                yield f"kiln.{key}.limit{number}", limit
    for key, entry in load_data("atmosphere_rules.yaml")["rules"].items():
        yield f"atmosphere.{key}", entry
    yield "melted", load_data("hazard_rules.yaml")["melted"]
    for key, entry in load_data("hazard_rules.yaml")["groups"].items():
        yield f"hazard_rules.{key}", entry
    for key, entry in load_data("test_methods.yaml")["methods"].items():
        yield f"method.{key}", entry
    for entry in load_data("food_duties.yaml")["duties"]:
        yield f"duty.{entry['code']}", entry


@pytest.mark.parametrize(("name", "entry"), list(entries()), ids=lambda value: value if isinstance(value, str) else "")
def test_every_number_has_a_source_or_a_memory_mark(name, entry):
    assert has_source(entry), name
    assert all(key in SOURCES for key in entry.get("evidence", ())), name


def test_a_threshold_without_a_source_would_be_caught():
    assert not has_source({"value": 1, "unit": "x"})
    assert not has_source({"value": 1, "from_memory": True, "citation": "a book"})
    assert not has_source({"value": 1, "recommendation": True, "confidence": "low"})
    assert not has_source({"value": 1, "source": "NO_SUCH_KEY"})


# file -> the keys at its top, all of which are read
TOP = {"food_duties": {"duties"}, "food_limits": {"checked_on", "legal_status_words", "always", "places", "deep_by_nature", "classes", "rules", "schemes", "precision", "few_pieces"},
       "food_limits_comparators": {"comparators"}, "caution_codes": {"codes"}, "caution_thresholds": {"thresholds", "by_cone"}, "food_metals": {"no_limit", "metals", "facts"},
       "surface_rules": {"codes", "surfaces", "names", "absorption"}, "kiln_emissions": {"gases", "metals"}, "durability_ranges": {"alkaline_above", "ranges"},
       "ratio_conventions": {"conventions"}, "test_methods": {"ask_for_above", "methods", "always", "by_use"},
       "crawling": {"surface_tension_rank_mn_m", "raw_causes"}, "food_limits_sources": {"sources"},
       "hazard_rules": {"melted", "groups"}, "atmosphere_rules": {"rules"}, "bench_hazards": {"concern_classes", "h_statements", "hazards", "sources"}}  # fmt: skip


def test_every_key_of_the_data_is_read():
    """Each entry becomes a value of its class, and `read_entry` refuses a field that the class does not have."""
    for name, keys in TOP.items():
        assert set(load_data(f"{name}.yaml")) == keys, name
    read = [
        thresholds.thresholds(),
        thresholds.thresholds_by_cone(),
        metals.metals(),
        emissions.gases(),
        emissions.fumes(),
    ]
    read += [
        surface_rules.surface_rules(),
        surface_rules.surface_names(),
        surface_rules.food_codes(),
        surface_rules.absorption_limits(),
        hazards(),
        concerns(),
    ]
    read += [test_plan.methods(), published_ranges(), ratio_conventions(), raw_causes(), codes()]
    read += [metals.facts(), atmosphere.atmosphere_rules(), duties()]
    read += [
        limits.schemes(),
        limits.borrowed_figures(),
        limits.sampling_rules(),
        [limits.precision(), limits.few_pieces()],
    ]
    assert high_tension().value > 0
    assert test_plan.ask_for_above().value > 0
    assert all(read)


def test_every_source_and_statement_is_used():
    text = "".join((PACKAGE / "data" / f"{name}.yaml").read_text(encoding="utf-8") for name in FILES)
    for key, source in SOURCES.items():
        assert {"title", "kind"} <= set(source) <= {"title", "kind", "seen_at"}, key
        assert len(re.findall(rf"\b{key}\b", text)) > 1, key
    hazard = load_data("bench_hazards.yaml")
    used = {code for entry in hazard["hazards"].values() for item in entry["classifications"] for code in item["codes"]}
    assert used == set(hazard["h_statements"])


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"text": "x", "sourc": "y"}, "'sourc' is not a field of this entry. Did you mean 'source'"),
        ({"source": "y"}, "the field 'text' is missing"),
        ({"text": 5, "source": "y"}, "'text' is 5; str was expected"),
    ],
)
def test_a_slip_in_a_data_file_is_one_clear_error(entry, words):
    with pytest.raises(GlazeError, match=re.escape(words)) as caught:
        read_entry(metals.Fact, entry, "food_metals.yaml: x")
    assert caught.value.where == "food_metals.yaml: x"


BANDS = {"author": "W", "cone": "6", "source": "BUCK07", "bands": [{"name": "matt", "below": 5}]}
RANGE = {
    "id": "x",
    "name": "X",
    "cones": (Cone("5"), Cone("7")),
    "kind": "any",
    "moles": {"SiO2": [2, 4]},
    "source": "BUCK07",
}


@pytest.mark.parametrize(
    ("kind", "entry", "words"),
    [
        (RatioConvention, BANDS | {"bands": [{"name": "matt", "belw": 5}]}, "'belw' is not a field of this entry. Did you mean 'below'"),
        (RatioConvention, BANDS | {"bands": "matt"}, "'bands' is 'matt'; tuple was expected"),
        (PublishedRange, RANGE | {"kind": "salt"}, "'kind' is 'salt'"),
        (PublishedRange, RANGE | {"moles": {"SiO2": [2]}}, "'moles: SiO2' is [2]; tuple was expected"),
        (emissions.Emission, load_data("kiln_emissions.yaml")["gases"]["F"] | {"severity": "grave"}, "'severity' is 'grave'; Severity was expected"),
    ],
)  # fmt: skip
def test_a_slip_within_an_entry_is_found_by_the_types_of_its_class(kind, entry, words):
    with pytest.raises(GlazeError, match=re.escape(words)):
        read_entry(kind, entry, "x", **({"threshold": threshold("fluorine_look")} if "threshold" in entry else {}))


def test_an_entry_becomes_a_value_with_the_entries_in_it():
    (band,) = read_entry(RatioConvention, BANDS, "x").bands
    assert (band.name, band.below, band.low) == ("matt", 5.0, None)
    assert dict(read_entry(PublishedRange, RANGE, "x").moles) == {"SiO2": (2.0, 4.0)}


def test_an_entry_without_a_source_is_refused():
    with pytest.raises(GlazeError, match="no source"):
        cite({"value": 1})
    with pytest.raises(GlazeError, match="NO_SUCH_KEY"):
        cite({"source": "NO_SUCH_KEY"})


def test_a_new_metal_is_an_entry_of_the_data_and_nothing_else(monkeypatch):
    """Bismuth, with figures made up for the test: its caution, its code and the element that the laboratory is asked for."""
    data = copy.deepcopy(load_data("food_metals.yaml"))
    mark = {"from_memory": True, "citation": "made up", "confidence": "low"}
    data["metals"]["Bi2O3"] = {
        "element": "Bi", "name": "bismuth", "harm": "It does harm.", "raised_by": ["acid food"], "law": "none", **mark,
        "load": {"code": "bismuth-load", "title": "Much bismuth", "measure": "parts_per_100", "do": "Test for Bi release.",
                 "steps": {"look": {"value": 1.0, **mark}}},
    }  # fmt: skip
    monkeypatch.setattr(metals, "load_data", lambda _: data)
    for cached in (metals.metals, codes):
        cached.cache_clear()
    try:
        (caution,) = metal_cautions(OxideAmounts(parts_per_100={"Bi2O3": 1.5}), atmosphere="", use="plate", cone="6")
        assert (caution.code, caution.title, caution.about) == ("bismuth-load", "Much bismuth", "food")
        assert caution.message.startswith(
            "Bismuth: it does harm. Here 1.50 parts Bi2O3 per 100 of uncoloured batch; above 1."
        )
        assert caution.why.endswith("No measured glaze stands behind this number.")
        assert "Bi" in next(t.why for t in test_plan.plan_tests([caution], use="plate") if t.key == "release_other")
    finally:
        monkeypatch.undo()
        for cached in (metals.metals, codes):
            cached.cache_clear()


def modules() -> list[Path]:
    return [path for room in ("caution", "lab") for path in sorted((PACKAGE / room).glob("*.py"))]


def test_every_threshold_is_used():
    code = "".join(path.read_text(encoding="utf-8") for path in modules())
    named = "".join(
        (PACKAGE / "data" / name).read_text(encoding="utf-8")
        for name in ("kiln_emissions.yaml", "atmosphere_rules.yaml")
    )
    data = load_data("caution_thresholds.yaml")
    for section in ("thresholds", "by_cone"):
        for key in data[section]:
            assert f'"{key}"' in code or re.search(rf"threshold: {key}\b", named), key


# number -> why it may stand in the code
ANYWHERE = {
    0: "nothing",
    1: "one, or a step of one",
    100: "per cent",
    1e-6: "slack of rounding",
    1e-9: "slack of rounding",
}
IN_ONE_PLACE = {
    ("thresholds.py", 9): "decimals that the machine's rounding does not reach",
    ("bench.py", 3): "materials that one message names before it counts them",
    ("oxide_amounts.py", 10_000): "parts per million in a per cent",
    ("measured.py", 2): "digits that a number is printed with at least",
}


@pytest.mark.parametrize("path", modules(), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_no_threshold_stands_in_the_code(path):
    """A bare number of a rule would be a threshold without a source."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    places = {
        id(node.slice) for node in ast.walk(tree) if isinstance(node, ast.Subscript)
    }  # x[0] is a place, not a number
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
            allowed = node.value in ANYWHERE or (path.name, node.value) in IN_ONE_PLACE
            assert allowed or id(node) in places, (path.name, node.lineno, node.value)


def test_every_code_in_the_program_is_in_the_table_and_no_other():
    written = {entry.code for group in (emissions.gases(), emissions.fumes()) for entry in group.values()}
    written |= {rule.code for rule in surface_rules.surface_rules().values()}
    written |= set(atmosphere.atmosphere_rules())
    written |= {metal.load.code for metal in metals.metals().values() if metal.load}
    written |= {concern.code for concern in concerns().values() if concern.code}
    written |= {hazard.stop_code for hazard in hazards().values() if hazard.stop_code}
    written |= {f"{name}-{what}" for name in ("lead", "cadmium") for what in ("present", "below-detection")}
    for path in modules():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        text = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
        written |= text & set(codes())
    assert written == set(codes())


def test_what_the_codes_name_is_there():
    for name, code in codes().items():
        assert code.about in ABOUT, name
        assert set(code.settled_by) <= set(test_plan.methods()), name
    for metal in metals.metals().values():
        assert metal.load is None or set(metal.load.weak_by) <= set(SIGNS), metal.name
    for limit in (*thresholds.thresholds().values(), *thresholds.thresholds_by_cone().values()):
        assert set(limit.raises) <= set(codes()), limit.source
    for key, method in test_plan.methods().items():
        assert set(method.left_out_by) <= set(codes()), key


def test_the_table_is_that_of_the_program():
    """Made by ``python -m tests.caution.codes_table``; write it anew when a code or a threshold changes."""
    assert codes_table.PATH.read_text(encoding="utf-8") == codes_table.codes_table()


@pytest.mark.parametrize(
    "path", [*modules(), PACKAGE / "cli" / "lab.py"], ids=lambda path: f"{path.parent.name}/{path.name}"
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


def test_thresholds_have_their_unit_and_their_number():
    assert metals.load_limit("CuO", Severity.LOOK).unit == "parts CuO per 100"
    assert by_cone("silica_floor").values["6"] == 2.5
    with pytest.raises(KeyError):
        threshold("no_such_threshold")


def test_titles_are_short_and_hold_no_figure_and_no_verdict():
    titles = [code.title for code in codes().values()]
    assert len(set(titles)) == len(titles)
    for title in titles:
        assert 2 <= len(title.split()) <= 6, title
        assert title[0].isupper()
        assert not re.search(r"\d|\.$", title), title
        assert not VERDICT.search(title), title


def test_lead_and_cadmium_are_never_folded_and_no_other_is():
    about_them = {name for name, code in codes().items() if re.search("lead|cadmium", code.title, re.IGNORECASE)}
    assert {name for name, code in codes().items() if code.never_folded} == about_them
    assert len(about_them) == 11


def test_a_caution_that_the_data_raises_fits_two_lines_of_the_page():
    """Metals, gases and fumes with a number of four digits: what is longer belongs into the ground."""
    from glazecalc.show.cautions import caution_lines

    loads = OxideAmounts(
        parts_per_100=dict.fromkeys(metals.metals(), 13.16),
        mol_per_flux=dict.fromkeys(("BaO", "Li2O", "ZnO"), 0.88),
        wt_percent_fired={"PbO": 23.4, "CdO": 23.4},
    )
    raised = metal_cautions(loads, atmosphere="", use="plate", cone="6")
    raised += fume_cautions(loads)
    for name, gas in emissions.gases().items():
        made = material("thing", {"CaO": 50.0}, loss={name: 40.0}, loi_percent=40.0)
        raised += [
            c
            for c in kiln_cautions(batch(None, {"glass": 50, "thing": 50}, made), FiredAnalysis({"SiO2": 100}))
            if c.code == gas.code
        ]
    assert len({caution.code for caution in raised}) > 20
    for caution in raised:
        assert len(caution_lines([dataclasses.replace(caution, severity="stop")])) <= 2, caution.message
