"""How hot a card says that its glaze is fired: cones, two cones, temperatures, atmospheres, as potters write them in a title, a line or a field."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.cone_temperatures import cone_temperature_c, cones_for_temperature, heat_points, heats_apart
from glazecalc.cones import CONE_SIGNS, CONES
from glazecalc.errors import ConeError, FileFaultsError, GlazeError
from glazecalc.files.recipe_text import format_recipe_text, parse_recipe_text
from glazecalc.files.recipe_yaml import format_recipe_yaml, parse_recipe_yaml
from glazecalc.heat import ATMOSPHERES, CLEAR_ATMOSPHERES, parse_heat, read_heat

CLEAR = {"potash feldspar": 40.0, "whiting": 18.0, "kaolin": 12.0, "silica": 30.0}
SIGNS = ("cone ", "Cone", "cones ", "CONE: ", "c/", *CONE_SIGNS)
labels = st.sampled_from(CONES)
signs = st.sampled_from(SIGNS)


def told(notices: tuple[gc.Notice, ...]) -> set[str]:
    return {notice.code for notice in notices}


def card(first: str, *lines: str) -> gc.Recipe:
    return parse_recipe_text("\n".join([first, *lines, "whiting 5", ""]))


def firing(recipe: gc.Recipe) -> tuple[str, str, str]:
    return recipe.name, recipe.cone, recipe.atmosphere


@given(signs, labels, st.sampled_from(("", *CLEAR_ATMOSPHERES)), st.sampled_from((" ", ", ", " / ", " - ")))
def test_a_cone_with_its_sign_is_read_alike_in_title_line_field_yaml_and_python(sign, label, word, gap):
    written = f"{sign}{label}{gap + word if word else ''}"
    expected = ("Rill", label, CLEAR_ATMOSPHERES.get(word, ""))
    assert firing(card(f"Rill {written}")) == expected
    assert firing(card(f"Rill ({written})")) == expected
    assert firing(card("Rill", written)) == expected
    assert firing(card("Rill", f"cone: {written}")) == expected
    bracketed = f"{sign}{label} ({word})" if word else f"{sign}{label}"
    assert firing(card("Rill", bracketed)) == firing(card("Rill", f"cone: {bracketed}")) == expected
    assert firing(parse_recipe_yaml(f"name: Rill\ncone: '{written}'\nbase: {{whiting: 5}}\n")) == expected
    assert firing(gc.Recipe(name="Rill", cone=written)) == expected
    assert not told(card(f"Rill {written}").notices)


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("Rill ^10R", ("Rill", "10", "reduction")),
        ("Rill cone 10 R", ("Rill", "10", "reduction")),
        ("Rill cone 10 rdn", ("Rill", "10", "reduction")),
        ("Rill cone 10 red", ("Rill", "10", "reduction")),
        ("Rill 6 ox", ("Rill", "6", "oxidation")),
        ("Rill cone six", ("Rill", "6", "")),
        ("cone oh four Tarn White", ("Tarn White", "04", "")),
        ("Rill cone 5/6 ox", ("Rill", "5-6", "oxidation")),
        ("Rill cone 5 to cone 6", ("Rill", "5-6", "")),
        ("Rill \u22065\u20136", ("Rill", "5-6", "")),
        ("Rill 1220-1240\u00b0C ox", ("Rill", "1220-1240 C", "oxidation")),
        ("Rill cone-6 ox", ("Rill", "6", "oxidation")),
        ("Pine cone \u2013 white", ("Pine cone \u2013 white", "", "")),
        ("Cinder Red Reduction Cone 10", ("Cinder Red", "10", "reduction")),
        # a word that names glazes and materials as well is an atmosphere where nothing follows, and stays in the name elsewhere
        ("cone 10 ox blood", ("ox blood", "10", "")),
        ("Cone 6 Oxblood", ("Oxblood", "6", "")),
        ("cone 10 wood ash glaze", ("wood ash glaze", "10", "")),
        ("cone 10 soda blue", ("soda blue", "10", "")),
        ("Rill cone 10 soda", ("Rill", "10", "soda")),
    ],
)  # fmt: skip
def test_titles(title: str, expected: tuple[str, str, str]):
    recipe = card(title)
    assert firing(recipe) == expected
    assert not told(recipe.notices)


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("Rill c6", ("Rill", "6", "")),
        ("Test C4", ("Test", "4", "")),
        ("Rill 10R", ("Rill", "10", "reduction")),
        ("Rill 1240 C", ("Rill", "1240 C", "")),
        ("Rill 1240 \u00baC", ("Rill", "1240 C", "")),  # the ordinal sign, as some keyboards have it
        ("Rill 2264F", ("Rill", "2264 F", "")),
        ("Cone 6 Red", ("", "6", "reduction")),
    ],
)
def test_what_may_as_well_be_part_of_the_name_is_read_and_said(title: str, expected: tuple[str, str, str]):
    recipe = card(title)
    assert firing(recipe) == expected
    assert told(recipe.notices) == {"title-read-as-firing"}
    kept = card(f"name: {title}")
    assert firing(kept) == (title, "", "")
    assert not kept.notices


@pytest.mark.parametrize(
    "line", ["c6", "Cone6", "\u22066", "6 ox", "10R", "cone 10 red", "1240 C", "2264 F", "oxidation"]
)
def test_lines_of_their_own_are_no_ingredients(line: str):
    recipe = card("Rill", line)
    assert len(recipe.ingredients) == 1
    assert recipe.cone or recipe.atmosphere
    assert not recipe.notices


@pytest.mark.parametrize("line", ["6 red", "6 salt", "10 soda", "frit c6 24", "6 oxide", "kaolin, 1000 C 12"])
def test_lines_that_name_a_material_stay_ingredients(line: str):
    assert len(card("Rill", line).ingredients) == 2


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("1240", "1240 C or 1240 F"), ("20 C", "500 to 1600"), ("9999 F", "500 to 1600"), ("6-5", "Write '5-6'"), ("6-06", "Write '06-6'"),
        ("1,240 C", "1240 or 1.240"), ("6 (1222 C)", "Give one"), ("1240-1220 C", "cooler to the hotter"), ("5-99", "no cone is called '99'"),
        ("1220 C - 2264 F", "cooler to the hotter"), ("77", "no cone"), ("hot", "no cone"), ("6" * 70, "too long"), ("-6", "'06'"),
    ],
)  # fmt: skip
def test_what_is_no_firing_is_refused_with_the_mend(written: str, hint: str):
    with pytest.raises(ConeError, match=hint):
        read_heat(written)
    with pytest.raises(GlazeError, match=hint):
        gc.Recipe(cone=written)


def test_the_ends_stand_softer_first_and_every_pair_reads_back():
    for soft, hard in pairwise(CONES):
        assert parse_heat(f"{soft}-{hard}").label == f"{soft}-{hard}"
        assert [str(cone) for cone in parse_heat(f"cone {soft} to {hard}").cones] == [soft, hard]
        with pytest.raises(ConeError, match=f"Write '{soft}-{hard}'"):
            parse_heat(f"{hard}-{soft}")


@given(st.integers(932, 2912))
def test_fahrenheit_is_kept_as_written_and_judged_in_celsius(fahrenheit: int):
    (point,) = heat_points(f"{fahrenheit} F")
    assert parse_heat(f"{fahrenheit}F").label == f"{fahrenheit} F"
    assert point.celsius == pytest.approx((fahrenheit - 32) / 1.8)


@given(st.integers(600, 1500))
def test_a_temperature_counts_as_the_hottest_cone_that_is_down_by_then(celsius: int):
    (point,) = heat_points(f"{celsius} C")
    around = cones_for_temperature(celsius)
    assert point.celsius == celsius
    assert point.cone == (around.down.cone if around.down else None)
    assert f"{celsius} C" in point.said


@given(st.text(max_size=24))
def test_any_title_is_read_or_refused_in_words(title: str):
    try:
        recipe = card(title)
    except FileFaultsError:
        return
    assert not recipe.cone or parse_heat(recipe.cone).label == recipe.cone
    assert format_recipe_text(recipe) == f"{title}\nwhiting 5\n"
    assert parse_recipe_yaml(format_recipe_yaml(recipe)) == recipe


def test_every_atmosphere_has_one_name_in_text_yaml_and_python():
    for word, name in ATMOSPHERES.items():
        for written in (word, word.upper()):
            assert card("T", f"atmosphere: {written}").atmosphere == name
            assert parse_recipe_yaml(f"atmosphere: {written}\nbase: {{whiting: 5}}\n").atmosphere == name
            assert gc.Recipe(atmosphere=written).atmosphere == name


@pytest.mark.parametrize("sign", SIGNS)
def test_a_name_that_ends_in_a_number_is_a_title_before_a_cone_and_that_is_said(sign: str):
    recipe = card(f"Tarn White 2 {sign}6 ox")
    assert firing(recipe) == ("Tarn White 2", "6", "oxidation")
    assert told(recipe.notices) == {"title-with-number"}
    assert len(card("kaolin 2").ingredients) == 2
    if ":" not in sign:
        behind = card(f"{sign}6 silica 30")  # an ingredient behind the cone is not lost in a title
        assert (behind.name, len(behind.ingredients)) == ("", 2)


@pytest.mark.parametrize(
    ("title", "mend"),
    [("Rill cone 6a", "family 'seger'"), ("Rill ^6x ox", "no cone is called '6x'"), ("cone 06b Rill", "no cone")],
)
def test_letters_that_stick_to_a_cone_are_not_dropped(title: str, mend: str):
    with pytest.raises(FileFaultsError, match=mend):
        card(title)
    assert card("Rill c6x").name == "Rill c6x"


@pytest.mark.parametrize("both", ["ox/red", "oxidation or reduction", "R & ox", "ox and redn"])
def test_of_two_atmospheres_none_is_chosen(both: str):
    recipe = card(f"Rill cone 6 {both}")
    assert (recipe.cone, recipe.atmosphere) == ("6", "")
    assert recipe.name == f"Rill {both}"


# ---- what a check makes of it


@pytest.fixture(scope="module")
def clear() -> gc.Recipe:
    return gc.Recipe.from_parts("Rill", CLEAR)


def melts(report: gc.CheckReport) -> list[tuple[float, float]]:
    found = [e for e in report.estimates if e.quantity == "viscosity" and e.model == "fitted"]
    return [(e.temperature_range_c[0], e.value) for e in found if e.temperature_range_c]


def test_two_cones_are_judged_at_both_ends(clear: gc.Recipe, library: gc.MaterialLibrary):
    ends = [gc.check(clear, library, cone=cone) for cone in ("5", "6")]
    both = gc.check(clear, library, cone="5-6")
    assert melts(both) == [melts(end)[0] for end in ends]
    assert [t for t, _ in melts(both)] == [cone_temperature_c(cone).celsius for cone in ("5", "6")]
    worse = {reading.about: reading.evidence for reading in both.readings}
    assert worse["melt"]["firing"] == "cone 5"
    assert worse["run"]["firing"] == "cone 6"
    assert {c.code for c in both.cautions} == {c.code for end in ends for c in end.cautions}
    assert len({e.name for e in both.estimates}) == len(both.estimates)
    rank = {c.code: c.severity.rank for c in both.cautions}
    for caution in (c for end in ends for c in end.cautions):
        assert rank[caution.code] <= caution.severity.rank


def test_a_temperature_is_used_as_it_stands(clear: gc.Recipe, library: gc.MaterialLibrary):
    report = gc.check(clear, library, cone="1240 C")
    assert report.cone == "1240 C"
    assert [t for t, _ in melts(report)] == [1240]
    assert "1240 C, use not given" in str(report)
    assert {c.code for c in report.cautions} == {c.code for c in gc.check(clear, library, cone="7").cautions}
    (said,) = (n.message for n in report.notices if n.code == "cone-temperature")
    assert "cone 7" in said


def test_a_body_and_a_glaze_are_at_one_heat_where_they_share_a_cone():
    for one, other in (("5-6", "6"), ("6", "5-6"), ("6", "1225 C"), ("5-6", "6-7"), ("", "6"), ("6", "6")):
        assert not heats_apart(one, other)
    for one, other in (("06", "6"), ("5-6", "7"), ("1240 C", "5-6"), ("04-03", "01-1")):
        assert heats_apart(one, other)
        assert heats_apart(other, one)


def test_a_missing_cone_is_a_notice(clear: gc.Recipe, library: gc.MaterialLibrary):
    assert "cone-not-given" in told(gc.check(clear, library).notices)
    assert "cone-not-given" not in told(gc.check(clear, library, cone="6").notices)


@pytest.mark.parametrize(("on_card", "asked"), list(product(("5-6", "5-6 R", "1240 C"), ("6", "7 ox"))))
def test_the_cone_of_the_call_wins_and_says_so(library: gc.MaterialLibrary, on_card: str, asked: str):
    recipe = gc.Recipe.from_parts("Rill", CLEAR, cone=on_card)
    report = gc.check(recipe, library, cone=asked)
    heat, atmosphere = read_heat(asked)
    assert (report.cone, report.atmosphere) == (heat.label, atmosphere or recipe.atmosphere)
    assert "card-says-otherwise" in told(report.notices)
    assert "card-says-otherwise" not in told(gc.check(recipe, library, cone=on_card).notices)
    (melt,) = melts(report)
    assert melt[0] == heat_points(heat)[0].celsius


# ---- per cent or parts


def asked(base: float, additions: dict[str, float], library: gc.MaterialLibrary, unit: str = "") -> list[str]:
    lines = [gc.Ingredient(material=m, amount=base / 4) for m in CLEAR]
    lines += [gc.Ingredient(material=m, amount=a, unit=unit, addition=True) for m, a in additions.items()]
    found = gc.resolve(gc.Recipe(ingredients=tuple(lines)), library).notices
    return [notice.message for notice in found if notice.code == "additions-or-percent"]


def test_small_additions_to_a_base_near_1000_ask_whether_they_are_per_cent(library: gc.MaterialLibrary):
    (said,) = asked(1000, {"red iron oxide": 8, "bentonite": 2}, library)
    assert "8 parts, 0.8 % of the base" in said
    assert "8 % was meant (80 parts), write '8 %'" in said
    assert "so too for bentonite" in said


def test_the_question_is_not_put_where_one_reading_makes_no_sense(library: gc.MaterialLibrary):
    assert not asked(1000, {"red iron oxide": 80, "bentonite": 2}, library)  # 80 % would be absurd: they are parts
    assert not asked(100, {"red iron oxide": 8}, library)
    assert not asked(1000, {"red iron oxide": 8}, library, unit="%")
    assert not asked(1000, {}, library)


def test_nothing_is_changed_by_the_question(library: gc.MaterialLibrary):
    recipe = gc.Recipe.from_parts("", {m: 10 * a for m, a in CLEAR.items()}, {"red iron oxide": 8})
    assert gc.resolve(recipe, library).additions_total == 8


# ---- a title


def test_a_title_is_never_searched_for(monkeypatch: pytest.MonkeyPatch, library: gc.MaterialLibrary):
    """A title costs one look into a table: no search for near names, and no question where it names no material."""

    def searched(*_: object) -> tuple[str, ...]:
        raise AssertionError("a title went through the search for near names")

    monkeypatch.setattr("glazecalc.names.NearNames.__init__", searched)
    for title in ("", "Harbour Black", "Kaolinn White", "celadon", "copper carbonat", "Rill Clear 2b"):
        recipe = gc.Recipe.from_parts(title, CLEAR, cone="6")
        fresh = gc.MaterialLibrary(library.values())
        assert gc.check(recipe, fresh).notices == gc.check(gc.Recipe.from_parts("", CLEAR, cone="6"), fresh).notices


def test_a_first_line_that_ends_in_a_number_is_asked_about(library: gc.MaterialLibrary):
    with pytest.raises(GlazeError, match="If this line is the title, write it as 'name: "):
        gc.resolve(parse_recipe_text("Tarn White 12\nwhiting 5\n"), library)
    with pytest.raises(GlazeError, match="write it as 'name: Tarn White', and below it 'cone 04'"):
        gc.resolve(parse_recipe_text("Tarn White 04\nwhiting 5\n"), library)
    with pytest.raises(GlazeError, match=r"write it as 'name: \.\.\.'\."):
        gc.resolve(parse_recipe_text("Tarn White 55\nwhiting 5\n"), library)
