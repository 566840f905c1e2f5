"""How hot a glaze is fired and in which atmosphere, as a card says it: a cone, two cones between which it is fired, or a temperature."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from glazecalc.cones import CONE_SIGNS, CONE_WORDS, Cone, parse_cone
from glazecalc.errors import ConeError, UnitError
from glazecalc.field_checks import FieldChecks
from glazecalc.plain_text import with_plain_spaces
from glazecalc.spelling import plain_letters
from glazecalc.units import parse_quantity, spellings

__all__ = (
    "ATMOSPHERES", "CLEAR_ATMOSPHERES", "FoundHeat", "Heat", "atmosphere_name", "check_heat_field", "find_heat", "heat_words", "parse_heat", "read_heat",
)  # fmt: skip

CLEAR_ATMOSPHERES = {
    "ox": "oxidation", "oxid": "oxidation", "oxidation": "oxidation", "oxidising": "oxidation", "oxidizing": "oxidation", "oxidised": "oxidation",
    "oxidized": "oxidation", "redn": "reduction", "rdn": "reduction", "redux": "reduction", "reduction": "reduction", "reducing": "reduction",
    "reduced": "reduction", "neutral": "neutral",
}  # fmt: skip
"""Words that name nothing but an atmosphere -> its plain word."""
ATMOSPHERES = CLEAR_ATMOSPHERES | {
    "o": "oxidation", "r": "reduction", "red": "reduction", "salt": "salt", "soda": "soda", "wood": "wood", "raku": "raku",
}  # fmt: skip
"""How an atmosphere is written on a card -> its plain word."""

_LONGEST = 60  # letters of a cone, temperature and atmosphere; no pattern sees more. This program's own choice
_LOWEST_C, _HIGHEST_C = 500.0, 1600.0  # below and above no glaze is fired; this program's own choice
_BETWEEN = r"\s*(?:[-–—/]|\b(?:to|or)\b)\s*"
_SIGNS = re.escape(CONE_SIGNS)
_WORDS = rf"(?:(?:oh|o|zero|nought)[\s-]+)?(?:{'|'.join(CONE_WORDS)})\b"
_ONE = rf"(?:0{{0,2}}\d{{1,2}}(?:\.5|\s?½|\s1/2(?!\d))?|{_WORDS})"
_SPAN = rf"{_ONE}(?:{_BETWEEN}(?:cones?\s*|[{_SIGNS}]\s*)?{_ONE}(?![\w.,]))?(?!\d|[.,]\d)"
_UNIT = "|".join(sorted(map(re.escape, spellings("temperature")), key=len, reverse=True))
_DEGREES = rf"(?P<low>\d[\d.,]*)\s*(?P<own>{_UNIT})?(?:{_BETWEEN}(?P<high>\d[\d.,]*)\s*)?(?P<unit>{_UNIT})?"
_TEMPERATURE = re.compile(_DEGREES, re.IGNORECASE)
_CLEAR = "|".join(sorted(CLEAR_ATMOSPHERES, key=len, reverse=True))
_ANY = "|".join(sorted(ATMOSPHERES, key=len, reverse=True))
_HEAT_THEN_ATMOSPHERE = re.compile(rf"(.*[^\s,;:/(–-])[\s,;:/(–-]*(?<![^\W\d_])({_ANY})\.?\)?", re.IGNORECASE)
_ATMOSPHERE_THEN_HEAT = re.compile(rf"({_CLEAR})\b[\s,;:–-]*(.+)", re.IGNORECASE)

# In a line: with the sign of a cone; then what may as well be something else, and is said where it is read so.
_SIGNED = re.compile(
    rf"(?:(?<![^\W_])cones?\s*[:=–-]?\s*|(?<![\w^])[{_SIGNS}]\s*|(?<!\w)c/)(?P<heat>{_SPAN})", re.IGNORECASE
)
_UNSIGNED = (
    re.compile(rf"(?<!\w)c\.?(?P<heat>(?=\d){_SPAN})", re.IGNORECASE),
    re.compile(rf"(?<![\w.,/½-])(?P<heat>0?\d{{1,2}})(?=\s+(?:{_CLEAR})\b|(?:{_CLEAR}|r)\b)", re.IGNORECASE),
    re.compile(rf"(?<![\w.,/-])(?P<heat>\d{{3,4}}(?:{_BETWEEN}\d{{3,4}})?\s*(?:{_UNIT}))(?!\w)", re.IGNORECASE),
)
_BEHIND = re.compile(r"(?P<gap>[\s,;:/(–-]*)(?P<word>[A-Za-z]+)(?![^\W_])\.?")
_BEFORE = re.compile(rf"(?<!\w)(?P<word>{_CLEAR})[\s,;:–-]+\Z", re.IGNORECASE)
_STUCK = re.compile(r"\w+")
_NOTHING_MORE = re.compile(r"\s*(?:\Z|[,;)])")
_ANOTHER = re.compile(
    rf"\s*(?:/|&|\bor\b|\band\b)\s*(?:{_ANY})\b", re.IGNORECASE
)  # ox/red: which of the two is not said
_OX_BLOOD = re.compile(r"[\s-]*blood", re.IGNORECASE)  # a red, and no oxidation


@dataclass(frozen=True, slots=True)
class Heat:
    """A cone, two cones, a temperature or two of them: one value for each end, softer or cooler first.

    Attributes
    ----------
    label : str
        As a recipe keeps it: ``"6"``, ``"5-6"``, ``"1240 C"``.
    cones : tuple of Cone
        Empty where temperatures stand in their place.
    celsius : tuple of float
        Temperatures [deg C] that stand in place of a cone.
    """

    label: str
    cones: tuple[Cone, ...] = ()
    celsius: tuple[float, ...] = ()

    def __str__(self) -> str:
        return f"cone {self.label}" if self.cones else self.label

    @property
    def each(self) -> tuple[str, ...]:
        """The ends in words: ``cone 5``, ``cone 6``; ``1220 C``, ``1240 C``."""
        if self.cones:
            return tuple(f"cone {cone}" for cone in self.cones)
        number, unit = self.label.rsplit(" ", 1)
        return tuple(f"{end} {unit}" for end in number.split("-"))


class FoundHeat(NamedTuple):
    """Where a line speaks of heat: from `start` to `end`; `said` is what `parse_heat` reads, `doubt` what may mean something else.

    `signed` is True where the sign or the word of a cone stands before it.
    """

    start: int
    end: int
    said: str
    atmosphere: str
    doubt: str
    signed: bool


def atmosphere_name(text: str) -> str:
    """Return the plain word for an atmosphere: ``ox`` is ``oxidation``; another word stays as it is."""
    return ATMOSPHERES.get(text.strip().lower().rstrip("."), text.strip())


def heat_words(label: str) -> str:
    """Return what a recipe keeps as its cone in words: ``cone 6``, ``cone 5-6``, ``1240 C``; empty for none."""
    return f"cone {label}" if label and not label[-1].isalpha() else label


def parse_heat(given: str | int | Cone) -> Heat:
    """Read ``"6"``, ``"cone 5-6"``, ``"05 to 04"``, ``"1240 C"`` or ``"2264 F"``; raise ConeError with the mend."""
    if not isinstance(given, str):
        cone = parse_cone(given)
        return Heat(cone.label, cones=(cone,))
    text = " ".join(with_plain_spaces(given[: _LONGEST + 1]).split())
    if len(text) > _LONGEST:
        raise ConeError(f"'{text[:30]}...' is too long for a cone.", "Write it like '6', '06', '5-6' or '1240 C'.")
    if (degrees := _TEMPERATURE.fullmatch(text)) and (degrees["unit"] or degrees["own"]):
        return _temperatures(degrees, text)
    if re.fullmatch(r"[1-9]\d{2,3}(?:[.,]\d+)?", text):
        raise ConeError(f"'{text}' is no cone; it can be {text} C or {text} F.", f"Write the unit, e.g. '{text} C'.")
    try:
        cone = parse_cone(text)
    except ConeError as error:
        ends = re.fullmatch(rf"(.*?\S){_BETWEEN}(\S.*)", text, re.IGNORECASE)
        if ends is None:
            raise _with_mend(error, text) from None
        return _two_cones(parse_cone(ends[1]), parse_cone(ends[2]))
    return Heat(cone.label, cones=(cone,))


def _with_mend(error: ConeError, text: str) -> ConeError:
    if _TEMPERATURE.search(text) and re.search(rf"\d\s*(?:{_UNIT})(?!\w)", text, re.IGNORECASE):
        return ConeError(error.message, "Give one: the cone ('6', '5-6'), or the temperature ('1240 C').")
    return error


def _two_cones(first: Cone, second: Cone) -> Heat:
    if first == second:
        return Heat(first.label, cones=(first,))
    if second < first:
        said = f"'{first}-{second}' goes from the harder cone to the softer."
        raise ConeError(said, f"Write '{second}-{first}' if it is fired anywhere between them; else give one.")
    return Heat(f"{first}-{second}", cones=(first, second))


def _temperatures(match: re.Match[str], text: str) -> Heat:
    unit = match["unit"] or match["own"]
    if match["high"] and match["own"] and not match["unit"]:
        raise ConeError(f"'{text}' has one temperature without a unit.", "Write it like '1220-1240 C'.")
    ends = [(match["low"], match["own"] or unit)] + ([(match["high"], unit)] if match["high"] else [])
    try:
        read = [parse_quantity(f"{number} {own}", "temperature") for number, own in ends]
    except UnitError as error:
        raise ConeError(error.message, error.hint) from None
    celsius = tuple(quantity.base for quantity in read)
    if not all(_LOWEST_C <= value <= _HIGHEST_C for value in celsius):
        said = f"'{text}' is no temperature at which a glaze is fired; {_LOWEST_C:g} to {_HIGHEST_C:g} C are."
        raise ConeError(said)
    if len({quantity.unit for quantity in read}) > 1 or list(celsius) != sorted(set(celsius)):
        raise ConeError(f"'{text}' does not go from the cooler to the hotter.", "Write it like '1220-1240 C'.")
    label = f"{'-'.join(f'{float(quantity.number):g}' for quantity in read)} {read[0].unit}"
    return Heat(label, celsius=celsius)


def read_heat(given: str | int | Cone) -> tuple[Heat, str]:
    """Read heat and atmosphere of a field: ``"6 ox"``, ``"^10R"``, ``"cone 10 reduction"``; the atmosphere is empty where none stands."""
    return _read_words(given[: _LONGEST + 1]) if isinstance(given, str) else (parse_heat(given), "")


@lru_cache(maxsize=256)  # the recipes of a table share a few
def _read_words(given: str) -> tuple[Heat, str]:
    text = with_plain_spaces(given).strip()
    if behind := _HEAT_THEN_ATMOSPHERE.fullmatch(text):
        return parse_heat(behind[1]), ATMOSPHERES[plain_letters(behind[2])]
    if before := _ATMOSPHERE_THEN_HEAT.fullmatch(text):
        return parse_heat(before[2]), ATMOSPHERES[plain_letters(before[1])]
    return parse_heat(given), ""


def find_heat(text: str, *, whole: bool = False) -> FoundHeat | None:
    """Return where a title speaks of its heat, the clearest way first; or, of a `whole` line, whether it is nothing but that."""
    for pattern in (_SIGNED, *_UNSIGNED):
        match = pattern.match(text) if whole else pattern.search(text)
        if match is None or (pattern is _UNSIGNED[-1] and not _is_heat(match["heat"])):
            continue
        found = _with_atmosphere(text, match, signed=pattern is _SIGNED)
        if found is not None and (not whole or (found.start, found.end) == (0, len(text.rstrip(" .,;)")))):
            return found
    return None


def _is_heat(text: str) -> bool:
    try:
        parse_heat(text)
    except ConeError:
        return False
    return True


def _with_atmosphere(text: str, match: re.Match[str], *, signed: bool) -> FoundHeat | None:
    start, end, said = match.start(), match.end(), match["heat"]
    doubt = "" if signed else match[0]
    behind = _BEHIND.match(text, end)
    word = behind["word"] if behind else ""
    if behind and _names_atmosphere(word, adhering=not behind["gap"], after=text[behind.end() :]):
        doubt = (
            text[start : behind.end()]
            if (word.lower() == "red" and not text[:start].strip()) or (doubt and not behind["gap"])
            else ""
        )
        return FoundHeat(start, behind.end(), said, ATMOSPHERES[plain_letters(word)], doubt, signed)
    if stuck := _STUCK.match(text, end):  # cone 6a, c6x: another cone, or none
        return FoundHeat(start, stuck.end(), f"{said}{stuck[0]}", "", "", signed) if signed else None
    if before := _BEFORE.search(text[:start]):
        return FoundHeat(before.start(), end, said, ATMOSPHERES[plain_letters(before["word"])], doubt, signed)
    return FoundHeat(start, end, said, "", doubt, signed)


def _names_atmosphere(word: str, *, adhering: bool, after: str) -> bool:
    """Return True where a word behind a cone is its atmosphere; ``red``, ``soda`` and the like name glazes and materials too."""
    if word.lower() not in ATMOSPHERES or _ANOTHER.match(after):
        return False
    if word.lower() in CLEAR_ATMOSPHERES:
        return not _OX_BLOOD.match(after)
    if word.lower() in ("r", "o"):
        return adhering or word.isupper()
    return _NOTHING_MORE.match(after) is not None


def check_heat_field(given: object, checks: FieldChecks, *, one: bool = False) -> str:
    """Return the label of what a field ``cone`` holds, empty where it is empty or at fault (which is noted); `one` refuses two cones."""
    if given == "":
        return ""
    try:
        heat = parse_heat(given)  # type: ignore[arg-type]
    except ConeError as error:
        checks.fault("cone", f"'cone': {error.message}", error.hint)
        return ""
    if one and len(heat.cones or heat.celsius) > 1:
        checks.fault("cone", f"'cone': '{heat.label}' names two; a firing went to one.", "Write the one that bent.")
    return heat.label
