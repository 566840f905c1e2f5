"""How a glaze is cooled, as a card says it: ``slow``, ``fast to 1050 C, slow``, ``held at 1050 C for 2 h``, ``60 C/h from 1100 C to 800 C``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from glazecalc.errors import GlazeError, UnitError
from glazecalc.field_checks import FieldChecks
from glazecalc.plain_text import with_plain_spaces
from glazecalc.spelling import plain_letters
from glazecalc.units import Quantity, parse_quantity, spellings

__all__ = ("Cooling", "CoolingStep", "check_cooling_field", "parse_cooling")

Pace = Literal["slow", "fast", "natural"]
_PACES: dict[str, Pace] = {
    "slow": "slow", "slowly": "slow", "fast": "fast", "quick": "fast", "quickly": "fast", "crash": "fast", "natural": "natural", "naturally": "natural",
    "normal": "natural", "kiln off": "natural",
}  # fmt: skip
_LONGEST = 200  # letters; no pattern sees more
_HOTTEST_C, _LONGEST_H, _FASTEST_C_PER_H = (
    1600.0,
    240.0,
    3000.0,
)  # beyond them a number is a slip; this program's own choice


def _any(dimension: str) -> str:
    return "|".join(sorted(map(re.escape, spellings(dimension)), key=len, reverse=True))


_DEGREES = rf"\d[\d.,]*\s*(?:{_any('temperature')})(?![\w/])"
_HOURS = rf"\d[\d.,]*\s*(?:½|1/2)?\s*(?:{_any('time')})\b\.?(?:\s*\d+\s*(?:{_any('time')})\b\.?)?"
_THEN = re.compile(r"\s*(?:[;+]|,?\s*\bthen\b|,(?!\d))\s*", re.IGNORECASE)
_SPAN = rf"(?:\s*(?:from\s+)?(?P<from>{_DEGREES}))?(?:\s*(?:down\s+)?(?:to|-|–)\s*(?P<to>{_DEGREES}))?"
_PACED = re.compile(
    rf"(?:cool(?:ed|ing)?\s+)?(?P<pace>{'|'.join(_PACES)})(?:[\s-]+cool(?:ed|ing)?)?{_SPAN}", re.IGNORECASE
)
_RATED = re.compile(
    rf"(?:cool(?:ed|ing)?\s+)?(?:at\s+)?(?P<rate>\d[\d.,]*\s*(?:{_any('heating rate')}))\b{_SPAN}", re.IGNORECASE
)
_HELD = re.compile(
    rf"(?:(?:held|hold|soak(?:ed)?)\s*)?(?:(?:at\s+)?(?P<at>{_DEGREES})\s*(?:hold|soak)?\s*(?:for\s+)?(?P<for>{_HOURS})"
    rf"|(?:for\s+)?(?P<for_first>{_HOURS})\s*(?:hold\s+|soak\s+)?(?:at\s+)?(?P<at_last>{_DEGREES}))",
    re.IGNORECASE,
)
_MEND = "Write slow, fast, 'held at 1050 C for 2 h' or '60 C/h from 1100 C to 800 C'; several with commas."


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingStep:
    """One step of cooling: a pace in words, a rate, or a hold.

    Attributes
    ----------
    pace : str
        ``slow``, ``fast`` or ``natural`` (the kiln left to itself); empty for a rate and a hold.
    c_per_h : float or None
        Rate [deg C/h].
    from_c, to_c : float or None
        Temperatures [deg C] between which it goes; the same for a hold.
    hours : float or None
        Length of a hold [h].
    """

    pace: Pace | Literal[""] = ""
    c_per_h: float | None = None
    from_c: float | None = None
    to_c: float | None = None
    hours: float | None = None

    @property
    def is_hold(self) -> bool:
        """True where the temperature is held."""
        return self.hours is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """The steps of cooling; `label` is how a recipe keeps them."""

    label: str
    steps: tuple[CoolingStep, ...]

    def __str__(self) -> str:
        return self.label

    @property
    def pace(self) -> Pace | Literal[""]:
        """The pace where the whole cooling is one word; empty where it is told in steps, rates or holds."""
        alone = self.steps[0] if len(self.steps) == 1 else None
        return alone.pace if alone is not None and alone.from_c is None and alone.to_c is None else ""

    @property
    def holds(self) -> tuple[CoolingStep, ...]:
        """The holds."""
        return tuple(step for step in self.steps if step.is_hold)


def parse_cooling(text: str) -> Cooling:
    """Read how a glaze is cooled; raise UnitError with the mend for what cannot be read."""
    clean = " ".join(with_plain_spaces(text[: _LONGEST + 1]).split()).strip(" .")
    if len(clean) > _LONGEST:
        raise UnitError(f"'{clean[:30]}...' is too long for a cooling.", _MEND)
    read = [_step(part, clean) for part in _THEN.split(clean)]
    heats = [end for step, _ in read for end in (step.from_c, step.to_c) if end is not None]
    if heats != sorted(heats, reverse=True):
        raise UnitError(f"'{clean}' does not go from the hotter to the cooler.", "A cooling goes down, step by step.")
    whole = [step for step, _ in read if step.pace and step.from_c is None and step.to_c is None]
    if len({step.pace for step in whole}) > 1:
        raise UnitError(
            f"'{clean}' names two paces.", "Keep one, or say where each ends: 'fast to 1050 C, slow to 800 C'."
        )
    return Cooling(label=", ".join(label for _, label in read), steps=tuple(step for step, _ in read))


def _step(part: str, clean: str) -> tuple[CoolingStep, str]:
    """Return one step, and how it is written plainly."""
    if held := _HELD.fullmatch(part):
        at, during = (
            _quantity(held[a] or held[b], of)
            for a, b, of in (("at", "at_last", "temperature"), ("for", "for_first", "time"))
        )
        _within(at.base, _HOTTEST_C, clean)
        _within(during.base, _LONGEST_H, clean)
        step = CoolingStep(from_c=at.base, to_c=at.base, hours=during.base)
        return step, f"held at {_words(at)} for {_words(during)}"
    if paced := _PACED.fullmatch(part):
        pace = _PACES[plain_letters(paced["pace"])]
        ends, said = _ends(paced, clean)
        return CoolingStep(pace=pace, from_c=ends[0], to_c=ends[1]), f"{pace}{said}"
    if rated := _RATED.fullmatch(part):
        rate = _quantity(rated["rate"], "heating rate")
        _within(rate.base, _FASTEST_C_PER_H, clean)
        ends, said = _ends(rated, clean)
        return CoolingStep(c_per_h=rate.base, from_c=ends[0], to_c=ends[1]), f"{_words(rate)}{said}"
    raise UnitError(f"'{part or clean}' is no cooling that can be read.", _MEND)


def _ends(match: re.Match[str], clean: str) -> tuple[tuple[float | None, float | None], str]:
    ends: list[float | None] = []
    said = ""
    for name in ("from", "to"):
        found = _quantity(match[name], "temperature") if match[name] else None
        if found is not None:
            _within(found.base, _HOTTEST_C, clean)
            said += f" {name} {_words(found)}"
        ends.append(found.base if found is not None else None)
    return (ends[0], ends[1]), said


def _quantity(text: str, dimension: str) -> Quantity:
    return parse_quantity(text.rstrip(". "), dimension)


def _within(value: float, most: float, clean: str) -> None:
    if not 0 < value <= most:
        raise UnitError(f"'{clean}' holds a number that is too small or too large to be plausible.", _MEND)


def _words(quantity: Quantity) -> str:
    return f"{float(quantity.number):g} {quantity.unit}"


def check_cooling_field(given: object, checks: FieldChecks) -> str:
    """Return the label of what a field ``cooling`` holds, empty where it is empty or at fault (which is noted)."""
    if not isinstance(given, str):
        checks.wrong_type("cooling", given, "a text", _MEND)
        return ""
    if not given.strip():
        return ""
    try:
        return parse_cooling(given).label
    except GlazeError as error:
        checks.fault("cooling", f"'cooling': {error.message}", error.hint)
        return ""
