"""Printed formulas give the printed batches.

Sources:

- C. F. Binns, The Potter's Craft, pages 46 and 48: a bright and a matt raw-lead glaze (historical), with the weights printed there.
- 'Ceramic glazes', Parantora vol. 2 no. 8 (31 Jan 1992), fig. 50, analyses from vol. 2 no. 7: porcelain glaze from real analyses.
- I. Casas, teaching article on the Seger method: lead monosilicate (historical).
"""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc import match
from glazecalc.library import MaterialLibrary
from tests.handmade import analysed, brings, library_of

BINNS = library_of(
    brings("white_lead", 258, {"PbO": 1}), brings("whiting", 100, {"CaO": 1}), brings("feldspar", 557, {"K2O": 1, "Al2O3": 1, "SiO2": 6}),
    brings("kaolin", 258, {"Al2O3": 1, "SiO2": 2}), brings("calcined_kaolin", 222, {"Al2O3": 1, "SiO2": 2}), brings("flint", 60, {"SiO2": 1}),
)  # fmt: skip


def batch(target: dict[str, float], library: MaterialLibrary, names: list[str], scale: float) -> dict[str, float]:
    """Return the best batch with `scale` parts in all."""
    outcome = match(target, library, only=names, total=scale)
    return {line.material: line.parts for line in outcome.answers[0].lines}


def test_binns_bright_page_46():
    found = batch(
        {"PbO": 0.6, "CaO": 0.3, "K2O": 0.1, "Al2O3": 0.2, "SiO2": 1.6},
        BINNS,
        ["white_lead", "whiting", "feldspar", "kaolin", "flint"],
        314.3,
    )
    assert found == pytest.approx(
        {"white_lead": 154.8, "whiting": 30.0, "feldspar": 55.7, "kaolin": 25.8, "flint": 48.0}, abs=0.05
    )


def test_binns_matt_page_48():
    # two kaolins bring the same oxides; the book sets 0.05 of raw clay, the rest calcined; its batch is in whole parts
    names = ["white_lead", "whiting", "feldspar", "kaolin", "calcined_kaolin", "flint"]
    outcome = match(
        {"PbO": 0.5, "CaO": 0.35, "K2O": 0.15, "Al2O3": 0.35, "SiO2": 1.54}, BINNS, only=names, total=307, least={"kaolin": 100 * 12.9 / 307},
        most={"kaolin": 100 * 12.9 / 307},
    )  # fmt: skip
    found = {line.material: line.parts for line in outcome.answers[0].lines}
    assert found == pytest.approx(
        {"white_lead": 129, "whiting": 35, "feldspar": 83, "calcined_kaolin": 33, "kaolin": 13, "flint": 14}, abs=0.8
    )


def test_porcelain_from_real_analyses_1992():
    # molar weights of the source are rounded and it leaves minor oxides out, as here; its batch stands for 179.6 of feldspar
    library = library_of(
        analysed("fukushima_feldspar", {"Na2O": 3.48, "K2O": 10.42, "Al2O3": 18.56, "SiO2": 66.71}),
        analysed("limestone", {"CaO": 55.08}), analysed("kaolin", {"Al2O3": 37.27, "SiO2": 45.82}), analysed("silica", {"SiO2": 100.0}),
    )  # fmt: skip
    printed = {"fukushima_feldspar": 179.6, "limestone": 71.3, "kaolin": 32.8, "silica": 106.6}
    found = batch(
        {"KNaO": 0.30, "CaO": 0.70, "Al2O3": 0.45, "SiO2": 4.0}, library, list(printed), sum(printed.values())
    )
    # The source rounds each analysis to 0.001 mol per 100 g: 3 in 1000 on the feldspar, which the kaolin and silica must make up.
    assert found["fukushima_feldspar"] == pytest.approx(179.6, rel=0.005)
    assert found["limestone"] == pytest.approx(71.3, rel=0.005)
    assert found["kaolin"] == pytest.approx(32.8, abs=1.5)
    assert found["silica"] == pytest.approx(106.6, abs=1.5)


def test_lead_monosilicate():
    library = library_of(brings("litharge", 223, {"PbO": 1}), brings("flint", 60, {"SiO2": 1}))
    assert batch({"PbO": 1, "SiO2": 1}, library, ["litharge", "flint"], 283) == pytest.approx(
        {"litharge": 223, "flint": 60}, rel=1e-6
    )


def test_the_classic_lime_porcelain_from_ideal_minerals(library):
    # 0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2: worked by hand with formula weights 556.66, 100.09, 258.16 and 60.08
    found = batch(
        {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4},
        library,
        ["potash_feldspar_ideal", "whiting", "kaolin", "silica"],
        100,
    )
    assert found == pytest.approx(
        {"potash_feldspar_ideal": 42.08, "whiting": 17.65, "kaolin": 13.01, "silica": 27.25}, abs=0.01
    )


def test_the_round_trip_of_the_porcelain(library):
    found = batch(
        {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4},
        library,
        ["potash_feldspar_ideal", "whiting", "kaolin", "silica"],
        100,
    )
    assert dict(gc.unity_formula(found, library)) == pytest.approx(
        {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4}, rel=1e-9
    )
