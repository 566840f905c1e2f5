"""Prices and stock, one format: ``material[,stock][,pack,price,currency][,supplier]``, or a bare list of names.

``kaolin,12 kg,25 kg,37.50,EUR``; a row may have a stock, a price, both, or neither. A bare list has one name a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path

from glazecalc.errors import (
    MOST_FAULTS,
    AmbiguousNameError,
    Fault,
    FileFaultsError,
    Notice,
    UnitError,
    UnknownNameError,
    did_you_mean,
)
from glazecalc.files.csv_table import Row, read_table
from glazecalc.files.shipped import load_data
from glazecalc.files.text_file import read_text
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.plain_text import with_plain_spaces
from glazecalc.price import Price, Shelf
from glazecalc.units import Written, parse_number, parse_quantity, two_readings

__all__ = ("currency_decimals", "read_shelf")

_PRICE = ("pack", "price", "currency")
_COLUMNS = ("stock", *_PRICE, "supplier")
_START = "Start with 'material,stock' or 'material,pack,price,currency', or write one name a line."


@cache
def currency_decimals() -> Mapping[str, int]:
    """Return code -> decimals of the minor unit, by ISO 4217."""
    data = load_data("workshop_currencies.yaml")["decimals"]
    return {code: int(places) for places, codes in data.items() for code in codes}


def read_shelf(
    path: str | Path, library: MaterialLibrary, *, own: Iterable[Material] = (), strict: bool = False
) -> Shelf:
    """Read prices, stock, or both.

    Parameters
    ----------
    path : str or Path
        A CSV file, or a text with one name a line.
    library : MaterialLibrary
        Where names are looked up.
    own : iterable of Material
        The materials of the recipe; a name that fits nothing exactly means one of these first.
    strict : bool
        True where the list decides what may be used: a name that is not known is then a fault; otherwise it is passed
        over, and that is said.

    Returns
    -------
    Shelf
        Of every material that the list names. The stock of a material on several rows is summed, and that is said.

    Raises
    ------
    FileFaultsError
        With every fault and its line.

    Examples
    --------
    >>> import glazecalc as gc
    >>> shelf = gc.read_shelf("shelf.csv", gc.load_materials("materials"))
    >>> int(shelf.stock_g["whiting"])
    6000
    """
    faults: list[Fault] = []
    notices: list[Notice] = []
    own = tuple(own)
    prices: dict[str, tuple[Price, ...]] = {}
    stock: dict[str, Decimal | None] = {}
    numbers: list[Written] = []
    for row in _rows(read_text(path), faults, notices):
        material = _material(row, library, own, strict)
        amount = _stock(row, numbers)
        price = _price(row, material, numbers)
        if not material:
            continue
        before = stock.setdefault(material, None)
        if amount is not None:
            stock[material] = amount + (before or 0)
        if amount is not None and before is not None:
            notices.append(Notice("stock-summed", f"{library[material].name} is listed twice in the stock; added up."))
        if price is not None:
            prices[material] = (*prices.get(material, ()), price)
    faults += two_readings(numbers)
    if not stock and not faults:
        faults.append(Fault(None, "the list names no material that is known.", _START))
    if faults:
        raise FileFaultsError(str(path), faults)
    return Shelf(prices=prices, stock_g=stock, notices=tuple(dict.fromkeys(notices)))


def _rows(text: str, faults: list[Fault], notices: list[Notice]) -> list[Row]:
    plain = re.sub(r"(?<!\S)#.*", "", with_plain_spaces(text))
    lines = [(number, line.strip()) for number, line in enumerate(plain.splitlines(), start=1) if line.strip()]
    header = {cell.strip(' "') for cell in re.split(r"[,;\t]", lines[0][1].lower())} if lines else {"material"}
    if not header & {"material", *_COLUMNS}:
        return [Row(number, {"material": name}, faults, notices) for number, name in lines]
    required = ("material", *_PRICE) if header & {*_PRICE} else ("material",)
    return read_table(text, faults, notices, "materials", required, _COLUMNS)


def _material(row: Row, library: MaterialLibrary, own: tuple[Material, ...], strict: bool) -> str:
    name = row.cells["material"]
    if not name:
        row.fault("the row has no material.")
        return ""
    try:
        material, said = library.find_in(name, own, suggest=strict and len(row.faults) < MOST_FAULTS)
    except (UnknownNameError, AmbiguousNameError) as error:
        if strict or isinstance(error, AmbiguousNameError):
            row.refuse(error)
        else:
            row.notice("not-a-material", f"{error.message} The row is passed over.")
        return ""
    row.notices.extend(said)
    return material.id


def _stock(row: Row, numbers: list[Written]) -> Decimal | None:
    text = row.cells.get("stock", "")
    amount = _number(row, text, numbers, mass=True) if text else None
    if amount is not None and amount < 0:
        row.fault(f"the stock {text} is negative; zero or more was expected.")
    return amount


def _price(row: Row, material: str, numbers: list[Written]) -> Price | None:
    pack_text, price_text, code = (row.cells.get(name, "") for name in _PRICE)
    empty = [name for name in _PRICE if not row.cells.get(name)]
    if empty:
        if len(empty) < len(_PRICE):
            row.fault(f"{' and '.join(empty)} missing.", f"A price has {', '.join(_PRICE)}.")
        return None
    pack = _number(row, pack_text, numbers, mass=True)
    price = _number(row, price_text, numbers, mass=False)
    if not material or pack is None or price is None:
        return None
    code = code.upper()
    if re.fullmatch("[A-Z]{3}", code) and code not in currency_decimals():
        row.fault(f"'{code}' is no currency code of ISO 4217.", did_you_mean(code, currency_decimals()))
    return row.make(Price, material=material, pack_g=pack, price=price, currency=code)


def _number(row: Row, text: str, numbers: list[Written], *, mass: bool) -> Decimal | None:
    """Return a mass [g] or a bare number, exact."""
    try:
        if mass:
            quantity = parse_quantity(text, "mass")
            exact, mark = quantity.exact_base, quantity.mark
            numbers.append(Written(row.line, text, quantity.number, mark, quantity.unit))
        else:
            exact, mark = parse_number(text)
            numbers.append(Written(row.line, text, exact, mark, "money"))
    except UnitError as error:
        row.refuse(error)
        return None
    if mark == ",":
        row.notice("decimal-comma", f"'{text}' is read with a decimal comma.")
    return Decimal(exact.numerator) / Decimal(exact.denominator)
