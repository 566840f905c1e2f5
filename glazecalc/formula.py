"""Mineral formulas: from ``Na2B4O7.10H2O`` or ``K2O.Al2O3.6SiO2`` to oxides that stay and parts that leave.

A dot (or ``·``) separates parts. A number may lead a part, with decimals; a number after a symbol or a bracket is a
whole count. So ``Na2B4O7.10H2O`` is borax with ten waters, 381.4 g/mol.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from glazecalc.errors import FormulaError
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import AXIS, atomic_mass, element_of, elements_in_oxide, molar_mass

__all__ = ("FormulaYield", "formula_mass", "formula_yield", "parse_formula")

_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉·•∙⋅", "0123456789....")
_COEFFICIENT = re.compile(r"\d+(?:\.\d+)?")
_DIGITS = re.compile(r"\d+")
_TOKEN = re.compile(r"[A-Z][a-z]?|[()\[\]]|\d+")
_CLOSES = {"(": ")", "[": "]"}
_LARGEST_COUNT = 1000
_LEAVES = {"H": "H2O", "C": "CO2", "S": "SO3", "N": "N2O5", "F": "F", "Cl": "Cl"}
_LONGEST = 200


class FormulaYield(NamedTuple):
    """What 100 g of an ideal mineral leaves and loses in the fire.

    `loss` says what leaves, ``O2`` being oxygen lost (negative: taken up from the air); `loi_percent` is 100 minus the
    oxides, negative where the mineral gains.
    """

    analysis: Mapping[str, float]
    loss: Mapping[str, float]
    loi_percent: float


@cache
def _oxide_for_element() -> dict[str, str]:
    table: dict[str, str] = {}
    for oxide in AXIS:
        table.setdefault(element_of(oxide)[0], oxide)  # Fe2O3 stands before FeO
    return table


def parse_formula(text: str) -> dict[str, float]:
    """Return the atoms of one formula unit, element -> count; a FormulaError says where it cannot be read."""
    clean = re.sub(r"\s+", "", text).translate(_SUBSCRIPTS)
    if not clean or len(clean) > _LONGEST:
        wrong = "too long" if clean else "empty"
        raise FormulaError(f"the formula '{text[:40]}' is {wrong}.", "Write it like Al2Si2O5(OH)4.")
    atoms: dict[str, float] = {}
    position = 0
    while position < len(clean):
        position = _read_part(clean, position, atoms) + 1  # past the dot
    if clean.endswith("."):
        raise _fault(clean, len(clean) - 1, "has nothing after it")
    return atoms


def _read_part(clean: str, position: int, atoms: dict[str, float]) -> int:
    """Add the atoms of the part that starts at `position` to `atoms`; return where it ends: at a dot, or the end."""
    factor, start = _number(clean, position, _COEFFICIENT, "leads a part with a number that is not plausible")
    position = start
    open_brackets: list[str] = []
    levels: list[dict[str, float]] = [{}]  # the atoms read so far, one mapping for each bracket that is open
    while position < len(clean) and clean[position] != ".":
        token = _TOKEN.match(clean, position)
        if not token:
            raise _fault(clean, position, "is not part of a formula")
        text = token.group()
        if text.isdigit():
            raise _fault(clean, position, "has a number where a symbol should be")
        if text in _CLOSES:
            open_brackets.append(text)
            levels.append({})
            position = token.end()
            continue
        count, end = _number(clean, token.end(), _DIGITS, "is a count that is not plausible")
        if text in _CLOSES.values():
            if not open_brackets or _CLOSES[open_brackets.pop()] != text:
                raise _fault(clean, position, "closes a bracket that was not opened")
            _add(levels.pop(), count, levels[-1])
        else:
            _add({text: 1.0}, count, levels[-1])
        position = end
    if open_brackets:
        raise _fault(clean, position - 1, "leaves a bracket open")
    if position == start:
        raise _fault(clean, min(position, len(clean) - 1), "starts an empty part")
    _add(levels[0], factor, atoms)
    return position


def _number(clean: str, position: int, pattern: re.Pattern[str], out_of_reason: str) -> tuple[float, int]:
    """Return the number that stands at `position`, 1 without one, and where it ends."""
    found = pattern.match(clean, position)
    if not found:
        return 1.0, position
    if not 0 < float(found.group()) < _LARGEST_COUNT:
        raise _fault(clean, position, out_of_reason)
    return float(found.group()), found.end()


def _add(found: Mapping[str, float], times: float, atoms: dict[str, float]) -> None:
    for symbol, number in found.items():
        atoms[symbol] = atoms.get(symbol, 0.0) + number * times


def _fault(clean: str, position: int, what: str) -> FormulaError:
    return FormulaError(
        f"in the formula '{clean}', '{clean[position : position + 3]}' (character {position + 1}) {what}.",
        "Write it like Al2Si2O5(OH)4, Na2B4O7.10H2O or K2O.Al2O3.6SiO2; a decimal may only lead a part.",
    )


def formula_mass(text: str) -> float:
    """Return the formula mass of a mineral, computed from atomic masses.

    Parameters
    ----------
    text : str
        Element formula with hydrate parts, such as ``Na2B4O7.10H2O``, or a sum of oxides, such as ``K2O.Al2O3.6SiO2``.

    Returns
    -------
    float
        [g/mol].

    Raises
    ------
    FormulaError
        If the formula cannot be read.
    UnknownNameError
        If it names no known element.

    Examples
    --------
    >>> import glazecalc as gc
    >>> round(gc.formula_mass("Na2B4O7.10H2O"), 1)  # borax
    381.4
    """
    return math.fsum(atomic_mass(symbol) * count for symbol, count in parse_formula(text).items())


@cache
def formula_yield(text: str) -> FormulaYield:
    """Return what an ideal mineral leaves in the glaze and what leaves in the fire.

    Metals become the oxides of the axis (MnO2 to MnO, Co3O4 to CoO, Fe3O4 to Fe2O3) with the oxygen lost or gained
    counted; hydrogen leaves as H2O, carbon as CO2, sulphur as SO3, nitrogen as N2O5, fluorine and chlorine as such, for
    which the metal takes up oxygen. Any other element is a FormulaError.
    """
    atoms = parse_formula(text)
    mass = formula_mass(text)
    oxide_of = _oxide_for_element()
    analysis: dict[str, float] = {}
    loss: dict[str, float] = {}
    oxygen_left = atoms.get("O", 0.0)
    for symbol, count in atoms.items():
        if symbol == "O":
            continue
        if symbol in oxide_of:
            target, form = analysis, oxide_of[symbol]
        elif symbol in _LEAVES:
            target, form = loss, _LEAVES[symbol]
        else:
            message = f"'{symbol}' in the formula '{text}' has no oxide that this program knows."
            raise FormulaError(message, "Only elements that glazes use are known.")
        per_formula = elements_in_oxide(form)
        units = count / per_formula[symbol]
        oxygen_left -= units * per_formula.get("O", 0)
        target[form] = target.get(form, 0.0) + 100.0 * units * molar_mass(form) / mass
    if abs(oxygen_left) > 1e-9:
        loss["O2"] = 100.0 * oxygen_left * atomic_mass("O") / mass
    ordered = {oxide: analysis[oxide] for oxide in AXIS if oxide in analysis}
    loi = 100.0 - math.fsum(ordered.values())
    loi = 0.0 if abs(loi) < 1e-9 else loi
    return FormulaYield(analysis=FrozenDict(ordered), loss=FrozenDict(loss), loi_percent=loi)
