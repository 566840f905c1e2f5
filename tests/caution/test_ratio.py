"""The published conventions for SiO2:Al2O3 disagree; each keeps its own word."""

import pytest

from glazecalc.caution.ratio import ratio_of, ratio_readings
from glazecalc.convention import Convention
from glazecalc.convert.unity import UnityFormula


def unity(ratio: float) -> UnityFormula:
    amounts = {"CaO": 1.0, "Al2O3": 0.4, "SiO2": 0.4 * ratio}
    return UnityFormula(amounts, Convention(), amounts)


def words(ratio: float) -> dict[str, tuple[str, ...]]:
    return {reading.convention.who: reading.words for reading in ratio_readings(unity(ratio))}


def test_six_is_called_four_things():
    """Read off the printed bands: satin (Carty), satin (Cushing), matt (McWhinnie), gloss on its edge (lime glazes)."""
    said = words(6.0)
    assert said["W. Carty, reported by T. Buck"] == ("satin",)
    assert said["V. Cushing's handbook"] == ("satin",)
    assert said["H. McWhinnie's glaze course"] == ("matt",)
    assert said["Japanese pottery notes, 2013"] == ("gloss",)
    assert said["R. T. Stull, 1912"] == ()


@pytest.mark.parametrize(
    ("ratio", "who", "expected"),
    [
        (4.999, "R. T. Stull, 1912", ("matt",)),
        (5.0, "R. T. Stull, 1912", ()),
        (8.0, "R. T. Stull, 1912", ("bright",)),
        (7.0, "W. Carty, reported by T. Buck", ("satin", "gloss")),
        (10.0, "W. Carty, reported by T. Buck", ("gloss",)),
        (10.01, "W. Carty, reported by T. Buck", ()),
        (9.5, "H. McWhinnie's glaze course", ()),
        (5.999, "Japanese pottery notes, 2013", ("matt",)),
        (10.001, "Japanese pottery notes, 2013", ("opaque",)),
        (12.0, "Japanese pottery notes, 2010", ("transparent", "opalescent")),
        (6.9, "a Turkish lecture on Seger calculations", ()),
    ],
)
def test_bands_to_the_edge(ratio, who, expected):
    assert words(ratio)[who] == expected


def test_every_reading_has_a_source_and_no_alumina_has_no_reading():
    assert all(reading.convention.source for reading in ratio_readings(unity(7)))
    assert ratio_readings(UnityFormula({"CaO": 1.0, "SiO2": 2.0}, Convention(), {"CaO": 1.0, "SiO2": 2.0})) == []


def test_boron_stays_out_of_the_ratio_under_any_convention():
    amounts = {"CaO": 1.0, "Al2O3": 0.4, "B2O3": 0.5, "SiO2": 3.2}
    folded = UnityFormula(amounts, Convention.from_names(["boron-with-silica"]), amounts)
    assert ratio_of(folded) == pytest.approx(8.0)
