"""The published conventions for SiO2:Al2O3 disagree; each keeps its own word."""

import pytest

from glazecalc.caution.ratio import ratio_of, ratio_readings
from glazecalc.convention import Convention
from glazecalc.convert.unity import UnityFormula


def unity(ratio: float) -> UnityFormula:
    amounts = {"CaO": 1.0, "Al2O3": 0.4, "SiO2": 0.4 * ratio}
    return UnityFormula(amounts, Convention(), amounts)


def names(ratio: float) -> dict[str, tuple[str, ...]]:
    return {reading.convention.author: reading.names for reading in ratio_readings(unity(ratio))}


def test_six_is_called_satin_and_matt():
    """Read off the printed bands: satin (Carty, Cushing), matt (McWhinnie), no name (Stull)."""
    assert names(6.0) == {
        "R. T. Stull": (),
        "W. Carty": ("satin",),
        "V. Cushing": ("satin",),
        "H. McWhinnie": ("matt",),
    }


@pytest.mark.parametrize(
    ("ratio", "author", "expected"),
    [
        (4.999, "R. T. Stull", ("matt",)),
        (5.0, "R. T. Stull", ()),
        (8.0, "R. T. Stull", ("bright",)),
        (7.0, "W. Carty", ("satin", "gloss")),
        (10.0, "W. Carty", ("gloss",)),
        (10.01, "W. Carty", ()),
        (9.5, "H. McWhinnie", ()),
        (12.0, "H. McWhinnie", ("gloss",)),
    ],
)
def test_bands_to_the_edge(ratio, author, expected):
    assert names(ratio)[author] == expected


@pytest.mark.parametrize(
    ("ratio", "line"),
    [
        (9.5, "SiO2:Al2O3 9.5   gloss: W. Carty (cone 6), V. Cushing. The rate of cooling matters too."),
        (13.0, "SiO2:Al2O3 13.0   no published name. The rate of cooling matters too."),
    ],
)
def test_the_ratio_has_a_line_of_its_own_with_the_authors_who_name_it(ratio, line):
    assert str(unity(ratio)).splitlines()[-1].strip() == line


def test_where_authors_differ_it_is_said():
    page = " ".join(str(unity(6.0)).split())
    assert "authors read this ratio differently; satin: W. Carty (cone 6), V. Cushing; matt: H. McWhinnie" in page
    assert "differently" not in str(unity(9.5))


def test_the_sums_of_the_fluxes_head_the_flux_column():
    (head,) = [line.split() for line in str(unity(6.0)).splitlines() if line.strip().startswith("flux")]
    assert head[:5] == ["flux", "R2O", "0.00", "RO", "1.00"]


def test_every_reading_has_a_source_and_no_alumina_has_no_reading():
    assert all(reading.convention.source for reading in ratio_readings(unity(7)))
    assert ratio_readings(UnityFormula({"CaO": 1.0, "SiO2": 2.0}, Convention(), {"CaO": 1.0, "SiO2": 2.0})) == []


def test_boron_stays_out_of_the_ratio_under_any_convention():
    amounts = {"CaO": 1.0, "Al2O3": 0.4, "B2O3": 0.5, "SiO2": 3.2}
    folded = UnityFormula(amounts, Convention.from_names(["boron-with-silica"]), amounts)
    assert ratio_of(folded) == pytest.approx(8.0)
