"""A porcelain glaze from real analyses: Parantora (periodical), vol. 2 no. 7 (1991) for the analyses, no. 8 (1992) for batch and formula.

Source: parantora7 and parantora8, read in Japanese at hiroce.net. K2O and Na2O are summed and minor oxides ignored there,
so only the oxides that the article carries are given to the materials.
"""

from __future__ import annotations

import pytest

from glazecalc import Convention, unity_formula
from tests.handmade import analysed, library_of

MATERIALS = library_of(
    analysed("fukushima", {"Na2O": 3.48, "K2O": 10.42, "Al2O3": 18.56, "SiO2": 66.71}),
    analysed("limestone", {"CaO": 55.08}),
    analysed("kaolin", {"Al2O3": 37.27, "SiO2": 45.82}),
    analysed("silica", {"SiO2": 100}),
)


def test_batch_returns_the_printed_formula():
    batch = {"fukushima": 179.6, "limestone": 71.3, "kaolin": 32.8, "silica": 106.6}
    unity = unity_formula(batch, MATERIALS, convention=Convention(alkalis_together=True))
    assert unity["KNaO"] == pytest.approx(0.30, abs=0.005)
    assert unity["CaO"] == pytest.approx(0.70, abs=0.005)
    assert unity["Al2O3"] == pytest.approx(0.45, abs=0.005)
    assert unity["SiO2"] == pytest.approx(4.0, abs=0.02)
