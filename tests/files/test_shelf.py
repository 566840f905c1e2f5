"""Prices and stock: one format, read alike for every command; a missing amount is never nothing."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from glazecalc.errors import CompositionError, FileFaultsError
from glazecalc.files.materials import load_materials
from glazecalc.files.shelf import currency_decimals, read_shelf
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.price import Price, Shelf


def test_currency_codes():
    decimals = currency_decimals()
    assert {decimals[c] for c in ("EUR", "GBP", "USD", "NOK")} == {2}
    assert (decimals["JPY"], decimals["KWD"]) == (0, 3)
    assert all(len(code) == 3 and code.isupper() for code in decimals)


@pytest.fixture
def own(library: MaterialLibrary) -> list[Material]:
    return [library[name] for name in ("kaolin", "silica", "potash_feldspar")]


def _file(folder: Path, text: str) -> Path:
    (folder / "list.csv").write_text(text, encoding="utf-8")
    return folder / "list.csv"


@pytest.mark.parametrize(
    "text",
    [
        "material,pack,price,currency\nkaolin,20 kg,30.00,EUR\n",
        "\ufeffmaterial;pack;price;currency\r\nkaolin;20 kg;30,00;eur\r\n",
        "Currency,Price,Pack,Material,Supplier\nEUR,30,20kg,China clay,Tarn Clays\n# a remark\n\n",
        "# list of spring; prices\nmaterial,pack,price,currency\nkaolin,20 kg,30,EUR\n",
        "material\tpack\tprice\tcurrency\nkaolin\t20 kg\t30\tEUR\n",
    ],
)
def test_price_lists_as_people_save_them(text: str, tmp_path: Path, library: MaterialLibrary, own: list[Material]):
    prices = read_shelf(_file(tmp_path, text), library, own=own).prices
    assert prices["kaolin"][0].per_kg == Decimal("1.5")


def test_the_cheapest_pack_counts(tmp_path: Path, library: MaterialLibrary):
    text = "material,pack,price,currency\nkaolin,1 kg,4,EUR\nkaolin,25 kg,30,EUR\nkaolin,100 lb,90,EUR\n"
    packs = read_shelf(_file(tmp_path, text), library).prices["kaolin"]
    assert [pack.pack_g for pack in packs] == [25_000, Decimal("45359.237"), 1000]


def test_a_name_means_a_material_of_the_recipe_only_where_it_is_short(tmp_path: Path, library: MaterialLibrary, own):
    text = "material,pack,price,currency\nwax resist,1 kg,12,EUR\nfeldspar,25 kg,40,EUR\nwhiting,25 kg,30,EUR\n"
    shelf = read_shelf(_file(tmp_path, text), library, own=own)
    assert set(shelf.prices) == {"potash_feldspar", "whiting"}
    assert {n.code for n in shelf.notices} == {"not-a-material", "read-as-recipe"}


def test_silica_is_never_read_as_zirconium_silicate(tmp_path: Path, library: MaterialLibrary):
    shelf = read_shelf(_file(tmp_path, "silica\n"), library, own=[library["zircon"]])
    assert shelf.ids == ("silica",)


def test_every_fault_with_its_line(tmp_path: Path, library: MaterialLibrary, own: list[Material]):
    text = 'material,pack,price,currency\nkaolin,-1kg,-3,EUT\nsilica,25,"1,500",EUR\nkaolin,,3,EUR\nkaolin,1 kg,3,EUR,x,y\nkaolin,0kg,3,EUR\n'
    with pytest.raises(FileFaultsError) as caught:
        read_shelf(_file(tmp_path, text), library, own=own)
    assert [fault.line for fault in caught.value.faults] == [2, 2, 2, 3, 3, 4, 5, 6]
    assert "Did you mean" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file is empty"),
        ("\n# nothing\n", "the file is empty"),
        ("material,stock\n", "a header and no materials"),
        ("material,price\nkaolin,3\n", "missing: pack, currency"),
        ("material,pack,prize,currency\nkaolin,1 kg,3,EUR\n", "Did you mean 'price'"),
        ("materials,stock\nkaolin,1 kg\n", "Did you mean 'material'"),
        ("material,material,stock\nkaolin,kaolin,1 kg\n", "twice"),
        ("kaolin,12 kg\n", "names no material"),
        ("material,pack,price,currency\nkaolin,25 kg,,EUR\n", "price missing"),
    ],
)
def test_lists_that_cannot_be_used(text: str, said: str, tmp_path: Path, library: MaterialLibrary):
    with pytest.raises(FileFaultsError, match=said):
        read_shelf(_file(tmp_path, text), library)


def test_stock_is_summed_and_never_negative(tmp_path: Path, library: MaterialLibrary):
    text = "material,stock\nkaolin,12 kg\nkaolin,1 lb 8 oz\nsilica,0 g\nwhiting,1½ lb\ntalc,\n"
    shelf = read_shelf(_file(tmp_path, text), library)
    assert shelf.stock_g == {
        "kaolin": Decimal("12680.388555"),
        "silica": Decimal(0),
        "whiting": Decimal("680.388555"),
        "talc": None,
    }
    assert [n.code for n in shelf.notices] == ["stock-summed"]
    with pytest.raises(FileFaultsError, match="negative"):
        read_shelf(_file(tmp_path, "material,stock\nkaolin,-1kg\n"), library)


def test_one_list_holds_stock_and_prices_a_row_either_both_or_neither(tmp_path: Path, library: MaterialLibrary):
    text = "price;currency;pack;stock;material;supplier;seen\n40;EUR;25 kg;18 kg;potash feldspar;Tarn Supplies;May\n;;;6 kg;whiting;;\n37,50;EUR;25 kg;;kaolin;;\n;;;;talc;;\n"
    shelf = read_shelf(_file(tmp_path, text), library)
    assert shelf.ids == ("potash_feldspar", "whiting", "kaolin", "talc")
    assert shelf.stock_g == {"potash_feldspar": 18_000, "whiting": 6000, "kaolin": None, "talc": None}
    assert {m: packs[0].price for m, packs in shelf.prices.items()} == {
        "potash_feldspar": 40,
        "kaolin": Decimal("37.5"),
    }
    assert [n.code for n in shelf.notices] == ["columns-not-read", "decimal-comma"]
    assert "seen" in shelf.notices[0].message


@pytest.mark.parametrize("strict", [False, True])
def test_a_bare_list_of_names(strict: bool, tmp_path: Path, library: MaterialLibrary):
    path = _file(tmp_path, "\ufeff# the shelf\nWhiting\n\nIron oxide, red  # new bag\nchina clay\n")
    shelf = read_shelf(path, library, strict=strict)
    assert shelf.ids == ("whiting", "red_iron_oxide", "kaolin")
    assert set(shelf.stock_g.values()) == {None}
    assert not shelf.prices


def test_a_list_that_decides_what_is_used_holds_no_unknown_name(tmp_path: Path, library: MaterialLibrary):
    path = _file(tmp_path, "kaolin\nwhitting\n\nfeldspr\n")
    assert read_shelf(path, library).ids == ("kaolin",)
    with pytest.raises(FileFaultsError) as caught:
        read_shelf(path, library, strict=True)
    assert [fault.line for fault in caught.value.faults] == [2, 4]
    assert "Did you mean 'Whiting'" in str(caught.value)


def test_the_studio_s_lists(studio: Path):
    library = load_materials(studio / "materials")
    stock, prices = (read_shelf(studio / name, library, strict=True) for name in ("shelf.csv", "prices.csv"))
    assert stock.stock_g["whiting"] == 6000
    assert not stock.prices
    assert prices.prices["whiting"][0].per_kg == Decimal("1.2")
    assert set(prices.stock_g.values()) == {None}


@pytest.mark.parametrize(
    "changed", [{"pack_g": Decimal(0)}, {"price": Decimal(-1)}, {"price": Decimal("NaN")}, {"currency": "euro"}]
)
def test_a_price_that_cannot_be(changed: dict[str, object]):
    sound = {"material": "kaolin", "pack_g": Decimal(25_000), "price": Decimal("37.50"), "currency": "EUR"}
    assert Price(**sound).per_kg == Decimal("1.5")
    with pytest.raises(CompositionError):
        Price(**(sound | changed))
    with pytest.raises(CompositionError):
        Shelf(stock_g={"kaolin": Decimal(-1)})
