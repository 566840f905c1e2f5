"""Cones as names: reading, order, near misses; and how a temperature is taken between printed rates."""

from __future__ import annotations

import math
import pickle
from dataclasses import FrozenInstanceError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc import cone_temperatures as cones
from glazecalc.cone_temperatures import cone_rows, cone_temperature_c, cones_for_temperature
from glazecalc.cones import CONES, Cone, parse_cone
from glazecalc.errors import ConeError
from glazecalc.show.plain import plain

PRINTED = sorted({(row.family, row.table, label) for label in CONES for row in cone_rows(label)})


def chart(family: str, table: str) -> dict[str, dict[float | None, float]]:
    """Return one chart as printed: cone -> heating rate -> temperature, soft to hard."""
    rows = {label: [r for r in cone_rows(label) if (r.family, r.table) == (family, table)] for label in CONES}
    return {label: {row.rate_c_per_h: row.celsius for row in found} for label, found in rows.items() if found}


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("6", "6"), ("06", "06"), ("cone 6", "6"), (" Cone 04 ", "04"), ("^6", "6"), ("^06", "06"), ("CONE 022", "022"),
        ("cone10", "10"), ("Δ6", "6"), ("△ 06", "06"), ("5.5", "5.5"), ("5 1/2", "5.5"), ("05½", "05.5"), ("5½", "5.5"),
        ("c6", "6"), ("C 06", "06"), ("c/6", "6"), ("Cone6", "6"), ("cone: 6", "6"), ("\u22066", "6"), ("\u0394 6", "6"), ("\u25b36", "6"),
        ("cone six", "6"), ("Cone oh six", "06"), ("zero four", "04"), ("ten", "10"), (6, "6"), (10, "10"),
    ],
)  # fmt: skip
def test_a_cone_is_read_as_a_potter_writes_it(text: str | int, label: str) -> None:
    assert str(parse_cone(text)) == label


@pytest.mark.parametrize("label", CONES)
def test_every_cone_keeps_its_text(label: str) -> None:
    assert str(parse_cone(label)) == label
    assert parse_cone(f"cone {label}") == Cone(label)
    assert parse_cone(Cone(label)) == Cone(label)


def test_a_zero_makes_another_cone() -> None:
    assert Cone("06") != Cone("6")
    assert Cone("06") < Cone("6")
    assert len({Cone("06"), Cone("6"), Cone("6")}) == 2


def test_the_order_is_that_of_heat_work() -> None:
    some = ["6", "06", "022", "1", "01", "10", "05.5", "05", "5.5", "14", "5"]
    assert [str(cone) for cone in sorted(map(Cone, some))] == [
        "022", "06", "05.5", "05", "01", "1", "5", "5.5", "6", "10", "14",
    ]  # fmt: skip
    assert CONES[0] == "022"
    assert CONES.index("1") == CONES.index("01") + 1
    assert not Cone("6") < Cone("6")
    assert Cone("6") <= Cone("6")


def test_a_cone_cannot_be_changed_and_survives_pickling() -> None:
    cone = Cone("06")
    with pytest.raises(FrozenInstanceError):
        cone.label = "6"  # type: ignore[misc]
    assert pickle.loads(pickle.dumps(cone)) == cone


@pytest.mark.parametrize(
    ("given_cone", "hint"),
    [
        (-6, r"'06'"),
        (-22, r"'022'"),
        (0, r"no cone is called '0'"),
        (1222, r"temperature"),
        ("1222", r"temperature"),
        ("o6", r"did you mean '06'"),
        ("-6", r"did you mean '06'"),
        ("006", r"did you mean '06'"),
        ("6,5", r"did you mean '6' or '7'|did you mean '7' or '6'"),
        ("06.5", r"did you mean '06' or '07'|did you mean '07' or '06'"),
        ("5,5", r"did you mean '5.5'"),
        ("cone 6 ox", r"did you mean '6'"),
        ("6-7", r"one cone: '6' or '7'"),
        ("6a", r"family 'seger'"),
        ("", r"Give one"),
        ("cone", r"Give one"),
        ("sixty", r"06 is not 6"),
        (True, r"as text"),
        (6.0, r"as text"),
        (None, r"as text"),
    ],
)
def test_what_is_no_cone_is_refused_with_the_mend(given_cone: object, hint: str) -> None:
    with pytest.raises(ConeError, match=rf"(?i){hint}"):
        parse_cone(given_cone)  # type: ignore[arg-type]


@given(st.text(max_size=12))
def test_any_text_is_a_cone_or_a_cone_error(text: str) -> None:
    try:
        found = parse_cone(text).label
    except ConeError as error:
        found = ""
        said = str(error)
    else:
        said = found
    assert said
    assert found == "" or found in CONES


def test_heating_rates_convert_without_the_32() -> None:
    assert cone_temperature_c("6", rate_c_per_h=100).rate_f_per_h == 180
    assert cone_temperature_c("6", rate_c_per_h=60).rate_f_per_h == 108


@pytest.mark.parametrize(("family", "table", "label"), PRINTED)
def test_faster_needs_hotter(family: str, table: str, label: str) -> None:
    rows = [row for row in cone_rows(label) if (row.family, row.table) == (family, table)]
    temperatures = [row.celsius for row in sorted(rows, key=lambda row: row.rate_c_per_h or 0)]
    assert temperatures == sorted(set(temperatures))


@pytest.mark.parametrize(("family", "table"), cones.cone_families())
def test_a_harder_cone_bends_hotter(family: str, table: str) -> None:
    printed = chart(family, table)
    for rate in {rate for row in printed.values() for rate in row}:
        numbers = [row[rate] for row in printed.values() if rate in row]
        assert numbers == sorted(numbers)
        assert len(numbers) >= 3


def test_between_printed_rates_the_temperature_follows_the_logarithm_of_the_rate() -> None:
    # Half way between 15 and 60 on a logarithmic scale is 30: half way between 1185 and 1222.
    half_way = cone_temperature_c("6", rate_c_per_h=30)
    assert half_way.celsius == pytest.approx((1185 + 1222) / 2)
    assert half_way.interpolated
    assert not half_way.extrapolated
    assert not cone_temperature_c("6", rate_c_per_h=60).interpolated


def test_the_logarithm_is_the_better_line() -> None:
    """The figures in the docstring: leave out the 60 C/h column and find it again from 15 and 150."""
    rows = [tuple(row.values()) for row in chart("self-supporting", "current").values() if len(row) == 3]
    by_log = [abs(slow + (fast - slow) * math.log(60 / 15) / math.log(150 / 15) - mid) for slow, mid, fast in rows]
    by_rate = [abs(slow + (fast - slow) * (60 - 15) / (150 - 15) - mid) for slow, mid, fast in rows]
    assert len(rows) == 35
    assert sum(by_log) / len(rows) == pytest.approx(2.4, abs=0.05)
    assert max(by_log) == pytest.approx(6, abs=0.5)
    assert sum(by_rate) / len(rows) == pytest.approx(11, abs=0.5)
    assert max(by_rate) == pytest.approx(23, abs=0.5)


@given(
    st.floats(15, 150),
    st.sampled_from([label for family, table, label in PRINTED if family == "self-supporting"]),
)
def test_between_printed_rates_the_temperature_stays_between(rate: float, label: str) -> None:
    printed = [row for row in cone_rows(label) if row.family == "self-supporting"]
    rate = max(rate, min(row.rate_c_per_h or 0 for row in printed))  # some are not printed at 15
    found = cone_temperature_c(label, rate_c_per_h=rate).celsius
    rows = [row.celsius for row in printed]
    assert min(rows) <= found <= max(rows)


def test_outside_the_printed_rates_only_on_request_and_marked() -> None:
    with pytest.raises(ConeError, match=r"15, 60, 150 .*200 .*extrapolate=True"):
        cone_temperature_c("6", rate_c_per_h=200)
    beyond = cone_temperature_c("6", rate_c_per_h=200, extrapolate=True)
    assert beyond.extrapolated
    assert not beyond.interpolated
    assert beyond.celsius == pytest.approx(1243 + (1243 - 1222) * math.log(200 / 150) / math.log(150 / 60))
    below = cone_temperature_c("6", rate_c_per_h=10, extrapolate=True)
    assert below.celsius < 1185
    with pytest.raises(ConeError, match=r"lies outside"):
        cone_temperature_c("6", rate_c_per_h=400, extrapolate=True)
    with pytest.raises(ConeError, match=r"300 C/h; 60"):
        cone_temperature_c("6", family="small", rate_c_per_h=60, extrapolate=True)
    with pytest.raises(ConeError, match=r"60, 150 C/h; 20"):  # cone 022 is not printed at 15
        cone_temperature_c("022", rate_c_per_h=20)


@pytest.mark.parametrize("rate", [0, -60, math.nan, math.inf])
def test_a_heating_rate_is_a_positive_number(rate: float) -> None:
    with pytest.raises(ConeError, match="heating rate above 0"):
        cone_temperature_c("6", rate_c_per_h=rate)


def test_families_and_tables_are_kept_apart() -> None:
    assert cone_temperature_c("6", family="large", rate_c_per_h=150).celsius == 1241
    assert cone_temperature_c("6", family="large", table="older").celsius == 1222
    assert cone_temperature_c("6", family="small").rate_c_per_h == 300
    seger = cone_temperature_c("6", family="seger")
    assert (seger.celsius, seger.rate_c_per_h, seger.rate_f_per_h, seger.table) == (1200, None, None, "1908")
    with pytest.raises(ConeError, match="no heating rate"):
        cone_temperature_c("6", family="seger", rate_c_per_h=60)
    with pytest.raises(ConeError, match="Known families: 'self-supporting'"):
        cone_temperature_c("6", family="medium")
    with pytest.raises(ConeError, match="no table '1899'"):
        cone_temperature_c("6", table="1899")
    with pytest.raises(ConeError, match="does not print cone 15"):
        cone_temperature_c("15")


def test_values_from_memory_are_marked() -> None:
    assert cone_temperature_c("6", family="large").from_memory
    assert not cone_temperature_c("010", family="large").from_memory
    assert not cone_temperature_c("6").from_memory


def test_rows_name_family_table_and_rate() -> None:
    rows = cone_rows("6", rate_c_per_h=100)
    assert [(row.family, row.table, row.rate_c_per_h) for row in rows] == [
        ("self-supporting", "current", 100),
        ("large", "current", 100),
        ("small", "current", 300),
        ("large", "older", 150),
        ("seger", "1908", None),
    ]
    assert all({"family", "table", "rate_c_per_h", "celsius", "fahrenheit"} <= plain(row).keys() for row in rows)
    assert rows[0].interpolated
    assert not rows[2].interpolated
    assert all(row.fahrenheit == pytest.approx(row.celsius * 1.8 + 32) for row in rows)
    assert {row.family for row in cone_rows("010")} >= {"self-supporting iron-free", "large iron-free"}


def test_a_temperature_lies_between_two_cones() -> None:
    around = cones_for_temperature(1230, rate_c_per_h=60)
    assert around.down is not None
    assert around.standing is not None
    assert (around.down.cone.label, around.standing.cone.label) == ("6", "7")
    faster = cones_for_temperature(1230, rate_c_per_h=150)
    assert faster.down is not None
    assert faster.down.cone.label == "5.5"
    exact = cones_for_temperature(1222, rate_c_per_h=60)
    assert exact.down is not None
    assert exact.down.cone.label == "6"
    cold = cones_for_temperature(300)
    assert cold.down is None
    assert cold.standing is not None
    assert cold.standing.cone.label == "022"
    hot = cones_for_temperature(1500)
    assert hot.standing is None
    assert hot.down is not None
    assert hot.down.cone.label == "14"
    slow = cones_for_temperature(500, rate_c_per_h=15)
    assert slow.standing is not None
    assert slow.standing.cone.label == "019"  # the first cone printed at 15 C/h
    seger = cones_for_temperature(1235, family="seger")
    assert seger.down is not None
    assert seger.down.cone.label == "7"
    with pytest.raises(ConeError, match="lies outside"):
        cones_for_temperature(1230, rate_c_per_h=500)
    with pytest.raises(ConeError, match="no heating rate"):
        cones_for_temperature(1230, rate_c_per_h=60, family="seger")
    with pytest.raises(ConeError, match="temperature in C"):
        cones_for_temperature(math.nan)
