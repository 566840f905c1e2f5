"""How a name is looked up: exact before loose, the recipe's own before the shelf's, no poison for a harmless word."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.errors import AmbiguousNameError, ArgumentError, UnknownNameError
from glazecalc.material import Material
from tests.work import work_of_at_most

POISONOUS = ("lead", "cadmium", "antimon", "barium", "vanadium", "nickel", "uran", "selen")
HARMLESS = (
    "water", "molochite", "cadmium", "sugar", "flour", "milk", "sand", "gravel", "cement", "plaster", "brick", "grog", "mullite", "pearlite",
    "vermiculite", "glass", "bottle", "bread", "leaf", "bead", "load", "leather", "minerals", "paper", "barley", "barn", "antler", "honey",
    "vinegar", "oil", "detergent", "white clay", "red sand", "yellow ochre", "umber", "sienna", "basalt", "granite", "slate", "loess",
)  # fmt: skip


def hint_for(library: gc.MaterialLibrary, name: str) -> str:
    """Return what is offered for a name that is unknown, or an empty text where it is known after all."""
    try:
        library.find(name)
    except AmbiguousNameError:
        return ""
    except UnknownNameError as error:
        return error.hint
    return ""


def is_poison(material: Material) -> bool:
    told = " ".join((*material.names, *material.hazards)).lower()
    return any(word in told for word in POISONOUS)


@pytest.fixture
def own(library: gc.MaterialLibrary) -> list[Material]:
    return [library[ident] for ident in ("zircon", "potash_feldspar_horizon_01", "kaolin")]


@pytest.mark.parametrize("name", ["silica", "quartz", "SILICA", "silica (325)", "Soda spar", "whiting"])
def test_an_exact_name_is_never_read_as_a_material_of_the_recipe(
    library: gc.MaterialLibrary, own: list[Material], name: str
):
    assert library.find_in(name, own)[0].id == library.find(name)[0].id


@pytest.mark.parametrize(
    ("name", "ident"), [("zirc", "zircon"), ("feldspar", "potash_feldspar_horizon_01"), ("clay", "kaolin")]
)
def test_a_loose_name_means_the_recipes_own_material_and_says_so(
    library: gc.MaterialLibrary, own: list[Material], name: str, ident: str
):
    found, said = library.find_in(name, own)
    assert found.id == ident
    assert [notice.code for notice in said] == ["read-as-recipe"]


def test_a_loose_name_that_the_recipe_lacks_is_looked_up_in_the_library(
    library: gc.MaterialLibrary, own: list[Material]
):
    found, said = library.find_in("cobalt carb", own)
    assert found.id == "cobalt_carbonate"
    assert [notice.code for notice in said] == ["name-completed"]


def test_a_loose_name_that_fits_two_of_the_recipe_is_refused_with_them(library: gc.MaterialLibrary):
    own = [library["potash_feldspar"], library["soda_feldspar"]]
    with pytest.raises(AmbiguousNameError, match=r"several materials of the recipe: Potash feldspar, Soda feldspar"):
        library.find_in("feldspar", own)


def test_every_name_of_every_material_finds_it_whatever_the_recipe_holds(
    library: gc.MaterialLibrary, own: list[Material]
):
    for material in library.values():
        for name in material.names:
            assert library.find(name) == (material, ())
            assert library.find_in(name, own) == (material, ())


@pytest.mark.parametrize("name", ["cadmium", "molochite", "water", "custer feldspar", "white clay", ""])
def test_what_is_like_nothing_is_offered_nothing(library: gc.MaterialLibrary, name: str):
    assert "Did you mean" not in hint_for(library, name)


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        ("barum carbonate", "Barium carbonate"),
        ("antimoney", "antimony oxide"),
        ("lead bisilcate", "lead bisilicate"),
        ("silca", "Silica"),
        ("wolastonite", "Wollastonite"),
        ("ballclay", "English ball clay"),
        ("sods ash", "Soda ash"),
        ("cobolt carb", "Cobalt carbonate"),
    ],
)
def test_a_slip_of_the_pen_is_offered_the_name_meant(library: gc.MaterialLibrary, name: str, offered: str):
    assert hint_for(library, name).startswith(f"Did you mean '{offered}'")


@given(
    words=st.lists(st.sampled_from(HARMLESS), min_size=1, max_size=2),
    tail=st.sampled_from(["", " clay", " oxide", " carbonate", " frit", " ash", " feldspar", " white", " red"]),
)
def test_no_poison_is_offered_for_a_harmless_word(library: gc.MaterialLibrary, words: list[str], tail: str):
    hint = hint_for(library, " ".join(words) + tail)
    for material in library.values():
        if is_poison(material):
            assert not any(f"'{name}'" in hint for name in (material.name, *material.aliases)), hint


@pytest.mark.parametrize(("word", "kind"), [("clay", "clay"), ("frit", "frit")])
def test_a_word_that_names_a_kind_keeps_to_it(library: gc.MaterialLibrary, word: str, kind: str):
    for first in ("flimt", "bals", "sodium hgih", "plastik", "led bisilicate", "potsh"):
        hint = hint_for(library, f"{first} {word}")
        for material in library.values():
            if f"'{material.name}'" in hint:
                assert material.kind == kind or word in " ".join(material.names).lower()


def test_thousands_of_unknown_names_take_seconds(library: gc.MaterialLibrary):
    with work_of_at_most(200):
        for number in range(2000):
            with pytest.raises(UnknownNameError):
                library.find(f"qwx{number:04d} zvyt{number * 7 % 2000:04d}")


def test_a_key_is_an_id_and_a_name_is_looked_up(library: gc.MaterialLibrary):
    assert library["silica"].name == "Silica"
    assert "Silica" not in library
    assert library.get("no such") is None
    with pytest.raises(UnknownNameError, match=r"materials\.find\('Red iron oxide'\)"):
        library["Red iron oxide"]


def test_a_name_that_is_no_text_is_refused(library: gc.MaterialLibrary):
    for wrong in (None, 5, ["silica"]):
        with pytest.raises(ArgumentError, match="name of a material"):
            library.find(wrong)  # type: ignore[arg-type]
