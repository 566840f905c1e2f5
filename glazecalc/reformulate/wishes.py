"""What a potter may wish of a recipe, read from words: "expansion down 0.4", "alumina +0.05", "ratio kept"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from glazecalc.errors import CompositionError, GlazeError
from glazecalc.field_checks import LARGEST
from glazecalc.files.shipped import load_data
from glazecalc.optimise.choices import choice
from glazecalc.optimise.goals import split_list
from glazecalc.optimise.oxide_words import OXIDE_WORDS
from glazecalc.target import check_label

__all__ = ("Kind", "Measure", "Wish", "colour_kept", "read_kept", "read_wishes", "wish_words")

Kind = Literal["expansion", "softening", "ratio", "oxide", "material", "less", "colour"]
_NUMBER = r"[+-]?\s*\d+(?:\.\d+)?"
_PATTERN = re.compile(
    rf"^(?P<what>.+?)\s+(?:(?P<kept>kept|held|same|constant|unchanged)|(?:to|=)\s*(?P<value>{_NUMBER})(?:\s*(?:deg\s*)?c)?|"
    rf"(?P<way>up|down|by)?\s*(?P<delta>{_NUMBER})\s*(?:deg\s*c|c|parts|%)?\s*(?P<after>lower|higher|less|more|down|up)?)$",
    re.IGNORECASE,
)
_LESS_COBALT = re.compile(
    r"less\s+cobalt(?:\s+\(?same black\)?)?|same black(?: within published ranges)?", re.IGNORECASE
)
_BY_WORD = {word: oxide for oxide, words in OXIDE_WORDS.items() for word in words}
_LESS_COBALT_WORD = "less cobalt"
_EXACT = "'expansion down 0.4', 'softening 20 lower', 'alumina +0.05', 'SiO2 to 3.6', 'ratio kept', 'kaolin +3'"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """How wishes of one kind are measured, and printed.

    A miss by `tolerance` costs one (0 where the oxide or line has its own). An estimate is solved to `settled_within`; the wish
    is met where it misses by no more than `met_within`.
    """

    unit: str
    decimals: int
    tolerance: float
    settled_within: float
    met_within: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One wish, about the oxide, sum or material of this `name`: a `change` of it, a `value`, or with neither it is kept.

    Kinds: ``expansion`` [1e-6 per K], ``softening`` [deg C], ``ratio`` (SiO2:Al2O3), ``oxide`` [mol per mol of flux], ``material``
    [parts of the recipe], ``less`` (as little of a colourant as published), or ``colour`` (what it answers to is kept). `meant`
    is the exact wish that words of the bench are read as.
    """

    text: str
    kind: Kind
    name: str
    change: float | None = None
    value: float | None = None
    meant: str = ""

    @property
    def measure(self) -> Measure:
        """What it is measured in, and how closely."""
        return Measure(**load_data("reformulate_choices.yaml")["wishes"][self.kind])

    @property
    def kept(self) -> bool:
        """True where it is to stay as it is."""
        return self.change is None and self.value is None

    def wanted(self, before: float) -> float:
        """Return the value that is wanted, given the one `before`."""
        return before + (self.change or 0.0) if self.value is None else self.value


def read_wishes(texts: str | Iterable[str]) -> tuple[Wish, ...]:
    """Read wishes; commas part them. Raise for words that are no wish, and for a list without any change."""
    wishes = tuple(_read(part) for part in split_list(texts))
    if not wishes or all(wish.kept for wish in wishes):
        raise CompositionError("no change is asked for.", wish_words())
    seen = [(wish.kind, wish.name.lower()) for wish in wishes]
    twice = next((wish.text for wish, key in zip(wishes, seen, strict=True) if seen.count(key) > 1), None)
    if twice is not None:
        raise CompositionError(f"'{twice}' wishes twice for one thing.", "Say it once.")
    return wishes


def read_kept(labels: str | Iterable[str]) -> tuple[Wish, ...]:
    """Read a keep list, e.g. ``"CaO,K2O+Na2O"``: each as in the wish "CaO kept". Raise for what is no oxide, sum or ratio."""
    found = []
    for label in split_list(labels):
        kind, name = _what(label)
        if kind == "material":
            check_label(label)
        found.append(Wish(text=f"{label} kept", kind=kind, name=name))
    return tuple(found)


def _read(text: str) -> Wish:
    plain = text.replace("\u2212", "-").replace("°", " deg ").strip()
    if _LESS_COBALT.fullmatch(plain):
        return Wish(text=text, kind="less", name="cobalt", change=0.0)
    if plain.lower() in _words()["colour_words"]:
        return Wish(text=text, kind="colour", name="colour")
    if meant := _meant(plain):
        return replace(_read(meant), text=text, meant=meant)
    match = _PATTERN.match(plain)
    if match is None:
        raise CompositionError(f"'{text}' is not a wish.", wish_words())
    kind, name = _what(match["what"].strip())
    if abs(float((match["value"] or match["delta"] or "0").replace(" ", ""))) > LARGEST:
        raise CompositionError(f"'{text[:60]}' holds a number that is too large to be plausible.", wish_words())
    if match["kept"]:
        return Wish(text=text, kind=kind, name=name)
    if match["value"]:
        return Wish(text=text, kind=kind, name=name, value=float(match["value"].replace(" ", "")))
    delta = float(match["delta"].replace(" ", ""))
    words = {(match["way"] or "").lower(), (match["after"] or "").lower()}
    down, up = words & {"down", "lower", "less"}, words & {"up", "higher", "more"}
    if (down or up) and ("-" in match["delta"] or "+" in match["delta"] or (down and up)):
        raise CompositionError(f"'{text}' gives the direction twice.", "Write 'down 0.4' or '-0.4'.")
    if not (down or up or "-" in match["delta"] or "+" in match["delta"] or "by" in words):
        hint = "Write '+0.4' for a change, 'to 6.4' for a value."
        raise CompositionError(f"'{text}': is {match['delta']} the change or the value?", hint)
    return Wish(text=text, kind=kind, name=name, change=-delta if down else delta)


def _words() -> Mapping[str, Any]:
    return load_data("reformulate_words.yaml")


def wish_words() -> str:
    """Return the words that a wish may be said in."""
    bench = [entry["words"][0] for entry in _words()["bench_words"]]
    said = ", ".join([*bench, _words()["colour_words"][0], _LESS_COBALT_WORD])
    return f"In bench words: {said}. Exactly: {_EXACT}."


def _meant(plain: str) -> str:
    """Return the exact wish that words of the bench stand for, with the amount said or the usual one; empty for other words."""
    for entry in _words()["bench_words"]:
        either = "|".join(map(re.escape, entry["words"]))
        match = re.fullmatch(rf"(?:{either})(?:\s+(?:by\s+)?(?P<amount>\d+(?:\.\d+)?))?", plain, re.IGNORECASE)
        if match is not None:
            return str(entry["means"]).format(match["amount"] or f"{entry['amount']:g}")
    return ""


def colour_kept(wish: Wish, unity: Mapping[str, float], others: Iterable[Wish]) -> tuple[Wish, ...]:
    """Return the wishes that keep what a colour answers to, of the oxides that show and that no other wish is about."""
    asked = {oxide for other in others if other.kind == "oxide" for oxide in check_label(other.name)}
    found = []
    for label in _words()["colour_oxides"]:
        oxides = check_label(label)
        if not asked & set(oxides) and sum(unity.get(oxide, 0.0) for oxide in oxides) >= choice("oxide_shows_mol"):
            found.append(Wish(text=wish.text, kind="oxide", name=label, meant=f"{label} kept"))
    return tuple(found)


def _what(words: str) -> tuple[Kind, str]:
    low = words.lower()
    if low in ("expansion", "thermal expansion"):
        return "expansion", "expansion"
    if low in ("softening", "softening temperature", "softening point"):
        return "softening", "softening temperature"
    if low in ("ratio", "silica alumina ratio", "silica:alumina", "sio2:al2o3"):
        return "ratio", "SiO2:Al2O3"
    label = _BY_WORD.get(low, words)
    try:
        check_label(label)
    except GlazeError:
        return "material", words
    return "oxide", label
