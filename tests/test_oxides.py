"""The axis and the conventions."""

from __future__ import annotations

import pickle

import pytest

from glazecalc.convention import CONVENTION_OPTIONS, Convention
from glazecalc.errors import ConventionError, UnknownNameError
from glazecalc.oxides import AXIS, FLUXES, INDEX, check_oxide, molar_mass, role


def test_every_oxide_has_one_place_a_role_and_a_mass():
    assert len(set(AXIS)) == len(AXIS)
    for oxide in AXIS:
        assert INDEX[oxide] == AXIS.index(oxide)
        assert role(oxide) in ("flux", "stabilizer", "glass former", "opacifier", "colourant")
        assert 20 < molar_mass(oxide) < 1100  # Li2O 29.9 to Pr6O11 1021.4


def test_fluxes_are_r2o_and_ro_only():
    assert FLUXES == ("Li2O", "Na2O", "K2O", "Rb2O", "Cs2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO")


@pytest.mark.parametrize(
    ("given", "hint"),
    [
        ("MnO2", "MnO"),
        ("Co3O4", "CoO"),
        ("sio2", "SiO2"),
        ("KNaO", "Na2O"),
        ("K2O+Na2O", "Na2O"),
        ("SiO", "SiO2"),
        ("Pb3O4", "PbO"),
    ],
)
def test_an_oxide_off_the_axis_is_named_with_its_mend(given: str, hint: str):
    with pytest.raises(UnknownNameError) as caught:
        check_oxide(given)
    assert given in str(caught.value)
    assert hint in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)


def test_conventions_are_independent_and_named():
    assert Convention.from_names([]).names == ("default",)
    chosen = Convention.from_names(["iron-as-feo", "colourants_as_flux"])
    assert set(chosen.names) == {"iron-as-feo", "colourants-as-flux"}
    assert "FeO" in chosen.fluxes
    assert "FeO" not in Convention(iron_as_feo=True).fluxes
    assert "CoO" in Convention(colourants_as_flux=True).fluxes
    for name in CONVENTION_OPTIONS:
        assert Convention.from_names([name]).description != Convention().description


def test_what_is_divided_by_and_what_is_set_can_be_read():
    assert Convention().basis == FLUXES
    assert Convention(unity_on_alumina=True, colourants_as_flux=True).basis == ("Al2O3",)
    assert Convention(colourants_as_flux=True).basis == (*FLUXES, "MnO", "CoO", "NiO", "CuO")
    assert repr(Convention()) == "Convention()"
    assert repr(Convention(iron_as_feo=True)) == "Convention(iron_as_feo=True)"


def test_conventions_that_exclude_each_other_or_are_unknown():
    with pytest.raises(ConventionError, match="cannot both"):
        Convention.from_names(["boron-with-silica", "boron-with-alumina"])
    with pytest.raises(ConventionError, match="colourants-as-flux"):
        Convention.from_names(["colorants-as-flux"])
