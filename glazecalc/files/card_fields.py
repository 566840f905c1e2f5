"""What a card says beside its materials: ``cone: 6 ox``, ``use: plate``, ``note: thin``; one reader for plain text and CSV."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from glazecalc.cooling import parse_cooling
from glazecalc.errors import Fault, GlazeError
from glazecalc.heat import atmosphere_name, read_heat
from glazecalc.recipe import USES, Recipe, unknown_use

__all__ = ("FIELD_NAMES", "CardFields", "field_lines", "field_named", "is_field")

_KEY = "name|title|glaze|cones?|atmosphere|firing|fired to|temp(?:erature)?|cooling|body|clay body|use|version|based on|notes?"
_ANY_CASE = re.IGNORECASE | re.ASCII  # else a dotted capital I is an i, and its small letter two signs
_FIELD = re.compile(rf"(?P<key>{_KEY})\s*[:=]\s*(?P<value>.*)\Z", _ANY_CASE)
_WORD = re.compile(_KEY, _ANY_CASE)
_KEYS = {
    "title": "name", "glaze": "name", "note": "notes", "clay body": "body", "firing": "cone", "cones": "cone", "fired to": "cone", "temperature": "cone", "temp": "cone",
}  # fmt: skip

FIELD_NAMES = ("name", "cone", "atmosphere", "cooling", "body", "use", "version", "based on", "note")


@dataclass(slots=True)
class CardFields:
    """What was read so far: the fields of a Recipe, its notes line by line, and what is wrong."""

    fields: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    @property
    def given(self) -> Mapping[str, Any]:
        """The fields as Recipe takes them, notes among them."""
        return {**self.fields, "notes": "\n".join(self.notes)}

    def fault(self, line: int | None, message: str, hint: str = "") -> None:
        """Note what is wrong with a line."""
        self.faults.append(Fault(line, message, hint))

    def read(self, text: str, line: int) -> bool:
        """Keep what a line of the form ``key: value`` says; return False where it is none."""
        named = _FIELD.match(text)
        if named is not None:
            self.set(named["key"].lower(), named["value"].strip(), line)
        return named is not None

    def keep(self, key: str, value: str, line: int) -> None:
        """Keep what a field says; what says otherwise than before is a fault."""
        old = self.fields.get(key)
        if value and old and old != value:
            self.fault(line, f"the {key.replace('_', ' ')} is given twice, {old[:60]} and {value[:60]}.", "Keep one.")
        elif value:
            self.fields[key] = value

    def set(self, key: str, value: str, line: int) -> None:
        """Keep a field by any of its names, read as a card says it."""
        key = field_named(key)
        if key == "notes":
            self.notes.append(value)
            return
        try:
            if key == "cone":
                heat, atmosphere = read_heat(value)
                self.keep("cone", heat.label, line)
                self.keep("atmosphere", atmosphere, line)
                return
            if key == "atmosphere":
                value = atmosphere_name(value)
            if key == "cooling":
                value = parse_cooling(value).label
            if key == "use" and value not in USES:
                raise unknown_use(value)
        except GlazeError as error:
            self.fault(line, f"'cooling': {error.message}" if key == "cooling" else error.message, error.hint)
            return
        self.keep(key, value, line)


def is_field(word: str) -> bool:
    """Return True for a word that names a field, as the key of a line or the head of a column."""
    return _WORD.fullmatch(word) is not None


def field_named(word: str) -> str:
    """Return the field of `Recipe` that a word names."""
    return _KEYS.get(word, word.replace(" ", "_"))


def field_lines(recipe: Recipe) -> list[str]:
    """Return the lines that `CardFields` reads, for all that a recipe says beside its name, its firing and its materials."""
    named = ((key, getattr(recipe, key)) for key in ("atmosphere", "cooling", "body", "use", "version", "based_on"))
    lines = [f"{key.replace('_', ' ')}: {value}" for key, value in named if value]
    return lines + [f"note: {line}" for line in recipe.notes.split("\n") if recipe.notes]
