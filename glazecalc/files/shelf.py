"""Prices and stock from CSV: every fault of a file at once, with its line.

Prices: ``material,pack,price,currency`` (``potash feldspar,25 kg,40.00,EUR``). Stock: ``material,stock`` (``kaolin,12 kg``).
Further columns (supplier, date, note) are allowed; commas or semicolons separate.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

from glazecalc.errors import (
    AmbiguousNameError,
    Fault,
    FileFaultsError,
    Notice,
    UnitError,
    UnknownNameError,
    did_you_mean,
)
from glazecalc.files.shipped import load_data
from glazecalc.files.text_file import read_text
from glazecalc.library import MaterialLibrary
from glazecalc.price import Price
from glazecalc.units import parse_number, parse_quantity

__all__ = ("currency_decimals", "read_prices", "read_stock")

_OTHERS = ("supplier", "date", "note", "notes", "lot", "code")


@cache
def currency_decimals() -> Mapping[str, int]:
    """Return code -> decimals of the minor unit, by ISO 4217."""
    data = load_data("workshop_currencies.yaml")["decimals"]
    return {code: int(places) for places, codes in data.items() for code in codes}


def read_prices(
    path: str | Path, library: MaterialLibrary, own: MaterialLibrary
) -> tuple[dict[str, tuple[Price, ...]], tuple[Notice, ...]]:
    """Read a price list.

    Parameters
    ----------
    path : str or Path
    library : MaterialLibrary
        Where names are looked up.
    own : MaterialLibrary
        The materials of the recipe; a short name means one of these first.

    Returns
    -------
    dict
        Material id -> its packs, cheapest by weight first.
    tuple of Notice

    Raises
    ------
    FileFaultsError
        With every fault and its line.
    """
    faults: list[Fault] = []
    notices: list[Notice] = []
    found: dict[str, list[Price]] = {}
    for line, row in _rows(path, ("material", "pack", "price", "currency"), faults):
        pack = _checked(line, _mass, row["pack"], faults)
        price = _checked(line, lambda text: _number(text, notices), row["price"], faults)
        if pack is not None and pack <= 0:
            faults.append(Fault(line, f"a pack of {row['pack']} cannot be.", "Write it like 25 kg."))
        if price is not None and price < 0:
            faults.append(Fault(line, f"the price {row['price']} is negative; zero or more was expected."))
        code = row["currency"].upper()
        if code not in currency_decimals():
            faults.append(
                Fault(
                    line,
                    f"'{row['currency']}' is no currency code of ISO 4217.",
                    did_you_mean(code, currency_decimals()) or "Write it like EUR.",
                )
            )
        material = _material(line, row["material"], library, own, faults, notices)
        if material and pack is not None and price is not None and pack > 0:
            found.setdefault(material, []).append(
                Price(material=material, pack_g=_decimal(pack), price=_decimal(price), currency=code, line=line)
            )
    if faults:
        raise FileFaultsError(str(path), faults)
    return {m: tuple(sorted(packs, key=lambda p: p.per_kg)) for m, packs in found.items()}, tuple(
        dict.fromkeys(notices)
    )


def read_stock(
    path: str | Path, library: MaterialLibrary, own: MaterialLibrary
) -> tuple[dict[str, Decimal], tuple[Notice, ...]]:
    """Read what is on the shelf; return material id -> [g]. A material on two lines is summed, and that is said."""
    faults: list[Fault] = []
    notices: list[Notice] = []
    found: dict[str, Decimal] = {}
    for line, row in _rows(path, ("material", "stock"), faults):
        stock = _checked(line, _mass, row["stock"], faults)
        if stock is not None and stock < 0:
            faults.append(Fault(line, f"the stock {row['stock']} is negative; zero or more was expected."))
        material = _material(line, row["material"], library, own, faults, notices)
        if not material or stock is None:
            continue
        if material in found:
            notices.append(Notice("stock-summed", f"{row['material']} stands twice in the stock; summed."))
        found[material] = found.get(material, Decimal(0)) + _decimal(stock)
    if faults:
        raise FileFaultsError(str(path), faults)
    return found, tuple(dict.fromkeys(notices))


def _decimal(exact: Fraction) -> Decimal:
    return Decimal(exact.numerator) / Decimal(exact.denominator)


def _number(text: str, notices: list[Notice]) -> Fraction:
    number, comma = parse_number(text)
    if comma:
        notices.append(Notice("decimal-comma", f"'{text}' is read as {float(number):g}."))
    return number


def _mass(text: str) -> Fraction:
    return parse_quantity(text, "mass").exact_base


def _checked(line: int, read: Callable[[str], Fraction], text: str, faults: list[Fault]) -> Fraction | None:
    try:
        return read(text)
    except UnitError as error:
        faults.append(Fault(line, error.message, error.hint))
        return None


def _material(
    line: int, name: str, library: MaterialLibrary, own: MaterialLibrary, faults: list[Fault], notices: list[Notice]
) -> str | None:
    try:
        material = library.find(name)[0].id
        if material in own:
            return material
    except (UnknownNameError, AmbiguousNameError):
        material = None
    try:
        meant = own.find(name)[0]
        notices.append(Notice("read-as-recipe", f"line {line}: '{name}' is read as the recipe's {meant.name}."))
        return meant.id
    except AmbiguousNameError as error:
        faults.append(Fault(line, error.message, error.hint))
        return None
    except UnknownNameError:
        if material is None:
            notices.append(
                Notice("not-a-material", f"line {line}: '{name}' is no material of this recipe; passed over.")
            )
        return material


def _rows(path: str | Path, columns: tuple[str, ...], faults: list[Fault]) -> Iterator[tuple[int, dict[str, str]]]:
    text = read_text(path).lstrip("\ufeff")
    first = next((line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
    delimiter = ";" if first.count(";") > first.count(",") else "," if "," in first else "\t"
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    head: list[str] | None = None
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            break
        except csv.Error as error:
            raise FileFaultsError(str(path), [Fault(reader.line_num, f"this is not CSV: {error}.")]) from None
        cells = [cell.strip() for cell in cells]
        if not any(cells) or cells[0].startswith("#"):
            continue
        if head is None:
            head = _head(str(path), reader.line_num, [cell.lower() for cell in cells], columns)
            continue
        if len(cells) > len(head) and any(cells[len(head) :]):
            faults.append(
                Fault(
                    reader.line_num,
                    f"{len(cells)} cells, {len(head)} were expected.",
                    'Quote a cell that holds a comma: "1,5".',
                )
            )
            continue
        row = dict(zip(head, cells + [""] * (len(head) - len(cells)), strict=False))
        empty = [name for name in columns if not row[name]]
        if empty:
            faults.append(
                Fault(reader.line_num, f"{' and '.join(empty)} missing.", f"Each line has {', '.join(columns)}.")
            )
            continue
        yield reader.line_num, row
    if head is None:
        raise FileFaultsError(str(path), [Fault(None, "the file is empty.", f"The first line is {','.join(columns)}.")])


def _head(path: str, line: int, cells: list[str], columns: tuple[str, ...]) -> list[str]:
    faults = [
        Fault(line, f"the column '{name}' is missing.", f"The first line is {','.join(columns)}.")
        for name in columns
        if name not in cells
    ]
    for cell in cells:
        if cell and cell not in columns and cell not in _OTHERS:
            faults.append(Fault(line, f"the column '{cell}' is not known.", did_you_mean(cell, [*columns, *_OTHERS])))
        if cell and cells.count(cell) > 1:
            faults.append(Fault(line, f"the column '{cell}' stands twice."))
    if faults:
        raise FileFaultsError(path, list(dict.fromkeys(faults)))
    return cells
