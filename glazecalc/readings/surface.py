"""Gloss or matt? A weak hint from the ratio of silica to alumina: cooling, thickness and what crystallises decide as much."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Literal

from glazecalc.caution.ratio import RatioReading, ratio_of, ratio_readings
from glazecalc.caution.surface import SaidSurface, said_surfaces
from glazecalc.caution.thresholds import Threshold
from glazecalc.cooling import parse_cooling
from glazecalc.estimate.melted import FiredRatios, fired_set
from glazecalc.files.shipped import read_mapping
from glazecalc.oxides import R2O, RO
from glazecalc.plain_text import span_text
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import and_list, capital, some

__all__ = ("read",)

_DO = "Fire a tile and cool it as you cool your ware: slow cooling dulls what fast cooling leaves bright."

_DO_AS_COOLED = "Fire a tile with this cooling, and one cooled otherwise beside it."


@cache
def _limits() -> Mapping[str, Threshold]:
    return read_mapping(Threshold, "reading_thresholds.yaml", "thresholds")


def read(facts: Facts) -> Reading:
    """Return the reading `surface`: how it is said to be, then what the ratio hints at, or why it says little."""
    said = said_surfaces(facts.batch, facts.surfaces)
    ratio = None if facts.unity is None else ratio_of(facts.unity)
    found = [] if facts.unity is None else ratio_readings(facts.unity)
    little = tuple(_says_little(facts, ratio))
    told = ratio is not None and not little
    hint = (
        _hint(ratio, found)
        if ratio is not None and told
        else f"The ratio says little of gloss or matt here: {and_list(little)}."
    )
    code = "surface-as-said" if said else "surface-hint" if told else "surface-no-word"
    return Reading(
        about="surface",
        code=code,
        says=" ".join(filter(None, (_said(said), hint, _cooled(facts.batch.recipe.cooling)))),
        because=_overlap(fired_set().silica_alumina_ratio)
        if told
        else "The published conventions stand on SiO2:Al2O3 of plain clear glazes.",
        evidence={
            "silica_alumina_ratio": ratio,
            "conventions": {reading.convention.author: reading.names for reading in found} if told else {},
            "says_little": little,
            "said_to_be": {one.word: one.looks for one in said},
            "cooling": facts.batch.recipe.cooling,
        },
        do=_DO_AS_COOLED if facts.batch.recipe.cooling else _DO,
        source=f"{'; '.join(reading.convention.source for reading in found if reading.names)}; {fired_set().source}"
        if told
        else fired_set().source,
        short=in_two_lines(
            _said_short(said),
            _hint_short(ratio, found, bool(said)) if told else _little_short(little),
            _cooled_short(facts.batch.recipe.cooling),
        ),
    )


def _said(said: Sequence[SaidSurface]) -> str:
    """Return what a given word or the title says of the surface."""
    given = "; ".join(f"{one.word}: {one.looks}" for one in said if one.given)
    read_there = "; ".join(f"{one.word}: {one.looks}" for one in said if not one.given)
    return " ".join(
        filter(None, (f"Given as {given}." if given else "", f"It calls itself {read_there}." if read_there else ""))
    )


def _cooled(cooling: str) -> str:
    """Return what hangs on the cooling that the card names (trade practice); empty where it names none."""
    if not cooling:
        return ""
    grown = {
        "matt": "crystals get time to grow, so it leans towards matt",
        "gloss": "crystals get little time, so it leans to gloss",
        "": "what grows on the way decides gloss and matt as much as the ratio",
    }
    return f"Cooled {cooling}: {grown[_leans_to(cooling)]}."


def _leans_to(cooling: str) -> Literal["matt", "gloss", ""]:
    """Return the surface towards which a cooling leans (trade practice); empty where that is not said of it."""
    steps = parse_cooling(cooling).steps
    if any(step.is_hold or step.pace == "slow" for step in steps):
        return "matt"
    return "gloss" if all(step.pace == "fast" for step in steps) else ""


def _cooled_short(cooling: str) -> str:
    """Return what hangs on the cooling in few words, with the test."""
    if not cooling:
        return "Cool a tile like your ware."
    leans = _leans_to(cooling)
    return f"This cooling leans to {leans}: try a tile." if leans else "This cooling decides as much: try a tile."


def _says_little(facts: Facts, ratio: float | None) -> Iterator[str]:
    """Yield why the ratio means little for this glaze."""
    glaze, limits = facts.mole_percent, _limits()
    flux = sum(glaze.get(oxide, 0.0) for oxide in (*R2O, *RO))
    if ratio is None:
        yield "without flux and alumina there is none"
        return
    if not facts.formula.holds:
        yield "its unity formula does not hold"
    if glaze.get("B2O3", 0.0) > limits["boron_clears"].value * glaze["Al2O3"]:
        yield "much boron clears it at any ratio"
    if facts.batch.share_percent(lambda material: material.kind == "ash") >= limits["wood_ash"].value:
        yield "wood ash parts and crystallises in its own way"
    if glaze.get("ZnO", 0.0) > limits["zinc_crystals"].value * flux:
        yield "zinc may grow crystals"
    if glaze.get("TiO2", 0.0) > limits["titanium_crystals"].value:
        yield "titanium may grow crystals"


_ORDER = ("gloss", "satin", "matt")


def _hint(ratio: float, found: Sequence[RatioReading]) -> str:
    """Return what the published conventions call the ratio, each named once."""
    says = {surface: [one.convention.short for one in found if surface in one.surfaces] for surface in _ORDER}
    says = {surface: who for surface, who in says.items() if who}
    silent = [one.convention.short for one in found if not one.surfaces]
    parts = [f"{surface} to {and_list(who)}" for surface, who in says.items()]
    if not says:
        return (
            f"SiO2:Al2O3 is {ratio:.1f}: none of {len(found)} published conventions has a word for gloss or matt there."
        )
    if silent:
        parts.append(f"no word of it from {and_list(silent)}")
    differ = ", authors differ" if len(says) > 1 else ""
    return f"A weak hint{differ}: SiO2:Al2O3 {ratio:.1f} is {'; '.join(parts)}."


def _said_short(said: Sequence[SaidSurface]) -> tuple[str, ...]:
    """Return what a given word or the title says, in few words; of several names their looks give way to the names."""
    if not said:
        return ("",)
    whole = [f"{capital(one.word)}: {one.looks}." for one in said]
    names = and_list([one.word for one in said])
    return (" ".join(whole), f"Called {names}; {said[0].word}: {said[0].looks}.", f"Called {names}.")


def _little_short(little: Sequence[str]) -> tuple[str, ...]:
    """Return why the ratio says little, in few words."""
    return tuple(f"The ratio says little here: {some(little, most)}." for most in range(max(1, len(little)), 0, -1))


def _hint_short(ratio: float | None, found: Sequence[RatioReading], beside: bool) -> str:
    """Return the hint in few words; `beside` what it is said to be only how many say so."""
    says = {surface: [one.convention.short for one in found if surface in one.surfaces] for surface in _ORDER}
    named = [(surface, who) for surface, who in says.items() if who]
    silent = sum(not one.surfaces for one in found)
    head = f"SiO2:Al2O3 {ratio:.1f}, a weak hint"
    if not named:
        return f"{head}: no word for it in {len(found)} conventions."
    if beside:
        counted = ", ".join(f"{surface} to {len(who)}" for surface, who in named)
        return f"{head}: {counted} of {len(found)} conventions."
    parts = [f"{surface} to {', '.join(who)}" for surface, who in named] + ([f"{silent} silent"] if silent else [])
    return f"{head}: {'; '.join(parts)}."


def _overlap(fired: FiredRatios) -> str:
    """Return how little the ratio parts gloss from matt in the fired set."""
    parts = [
        f"{group.n} {name} at {span_text(group.values[0], group.values[-1])}"
        for name, group in (("glossy", fired.gloss), ("satin", fired.satin), ("matt or dry", fired.matt))
    ]
    return f"In the fired set they overlap: {', '.join(parts)}."
