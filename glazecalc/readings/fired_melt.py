"""The clear melt of a glaze at its firing, laid against the fired glazes: what `melt` and `run` both stand on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from glazecalc.errors import CompositionError
from glazecalc.estimate.melted import fired_set
from glazecalc.estimate.viscosity import viscosity, vogel_fit
from glazecalc.heat import heat_words
from glazecalc.readings.facts import Facts, Heat
from glazecalc.readings.materials import held, telling
from glazecalc.readings.reading import Reading
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import and_list, capital, some

__all__ = ("Melt", "judged", "melts", "not_judged")


@dataclass(frozen=True, slots=True, kw_only=True)
class Melt:
    """The clear melt at one firing."""

    heat: Heat
    log10_pa_s: float
    low: float  # ends of the model's interval
    high: float
    outside: tuple[str, ...]  # of the tested range, each with its number

    @property
    def evidence(self) -> dict[str, Any]:
        """The numbers of the melt."""
        return {
            "firing": self.heat.name,
            "temperature_c": self.heat.celsius,
            "log10_pa_s": self.log10_pa_s,
            "log10_pa_s_90_percent": (self.low, self.high),
            "outside_tested_range": self.outside,
        }


def melts(facts: Facts) -> tuple[Melt, ...] | str:
    """Return the melt at each firing, or why it is not judged, in a sentence."""
    if not facts.heats:
        return "No cone is given." if not facts.cone else f"No temperature is known for {heat_words(facts.cone)}."
    fit = vogel_fit()
    found = []
    for heat in facts.heats:
        place = fit.place(facts.mole_percent, heat.celsius)
        try:
            estimate = viscosity(facts.mole_percent, temperature_c=heat.celsius)
        except CompositionError as error:
            return f"There is no viscosity for it: {error.message}"
        if estimate.low is None or estimate.high is None:  # far outside: no error is known there
            return f"It lies beyond every glass of the viscosity model: {some(place.beyond or place.outside, 2)}."
        ends = {"low": estimate.low, "high": estimate.high}
        found.append(Melt(heat=heat, log10_pa_s=estimate.value, outside=estimate.outside, **ends))
    return tuple(found)


def not_judged(facts: Facts, about: Literal["melt", "run"], why: str) -> Reading:
    """Return the reading of a melt that is not judged."""
    no_cone = not facts.cone
    do = "Give the cone: --cone 6, or 'cone 6' in the first line of the card." if no_cone else _TILE[about]
    return Reading(
        about=about,
        code=f"{about}-not-judged",
        says=f"Not judged. {why}",
        because="Without a firing there is no viscosity to compare with fired glazes."
        if no_cone
        else "Beyond its data a model has no known error, so nothing is compared with it.",
        evidence={"cone": facts.cone},
        do=do,
        source=source_of(),
        short=in_two_lines(f"Not judged. {why}", do if no_cone else (do, _TILE_SHORT[about])),
    )


def judged(
    facts: Facts,
    melt: Melt,
    *,
    code: str,
    says: str,
    do: str,
    counted: str,
    evidence: dict[str, Any],
    short: Sequence[str | tuple[str, ...]],
) -> Reading:
    """Return the reading of a melt that was compared with fired glazes; `short` is its answer in few words and what gives way after it."""
    answer, *rest = short
    return Reading(
        about=code.partition("-")[0],
        code=code,
        says=" ".join(filter(None, (says, beside(facts, melt)))),
        because=ground(facts, melt, counted),
        evidence=melt.evidence | evidence | {"may_stay_unmelted": held(facts.batch, "stay_unmelted")},
        do=do,
        source=source_of(),
        short=in_two_lines(at_heat(facts, melt, str(answer)), *beside_short(facts, melt), *rest),
    )


_TILE = {
    "melt": "Fire a tile, and one a cone hotter.",
    "run": "Fire an upright tile over a catcher.",
}
_TILE_SHORT = {"melt": "Fire a tile.", "run": "Tile over a catcher."}


def source_of() -> str:
    """Return on whose authority melt and run are read."""
    return f"{fired_set().source}; viscosity: {vogel_fit().source}"


def beside(facts: Facts, melt: Melt) -> str:
    """Return what must be said beside a figure of the melt; empty for nothing."""
    said = []
    grains = held(facts.batch, "stay_unmelted")
    if grains:
        said.append(f"That is the clear melt: {and_list(grains)} may stay in it as unmelted grains.")
    few = fired_set().few_at(melt.heat.celsius)
    if few is not None:
        said.append(f"Few observations at this cone: {few} of {fired_set().glazes}.")
    make = facts.formula.of_unknown_make
    if make:
        said.append(f"By a typical analysis of {and_list(make)}: your own lot decides.")
    return " ".join(said)


def at_heat(facts: Facts, melt: Melt, words: str) -> str:
    """Return the words of a short answer, with the firing where there are two."""
    return f"At {melt.heat.name} {words}" if len(facts.heats) > 1 else f"{capital(words)}"


def beside_short(facts: Facts, melt: Melt) -> list[tuple[str, ...]]:
    """Return the same in few words, each with what to say where there is no room for it."""
    grains, few = held(facts.batch, "stay_unmelted"), fired_set().few_at(melt.heat.celsius)
    said: list[tuple[str, ...]] = []
    if grains:
        said.append((f"{capital(and_list(grains))} may stay as grains.", "Grains may stay."))
    if few is not None:
        said.append((f"Few fired at this cone: {few} of {fired_set().glazes}.", "Few fired at this cone."))
    if melt.outside:
        said.append(("Outside the tested range.", ""))
    if facts.formula.of_unknown_make:
        said.append(("By a typical analysis.", ""))
    return said


def ground(facts: Facts, melt: Melt, counted: str) -> str:
    """Return the ground of a reading: what was counted, the figure, how such grains came out, and what lies outside the tested range."""
    figure = (
        f"10^{melt.log10_pa_s:.1f} Pa s (10^{melt.low:.1f} to 10^{melt.high:.1f}, 90 %) at {melt.heat.celsius:.0f} C"
    )
    said = [f"{counted}. {figure}."]
    crawled = fired_set().viscosity.crawl_glazes_not_melted
    if telling("stay_unmelted")["magnesium_carbonate"].held_by(facts.batch):
        ends = f"10^{crawled.values[0]:.1f} to 10^{crawled.values[-1]:.1f}"
        said.append(f"{crawled.n} crawl glazes with magnesium carbonate calculate at {ends} and stayed dry.")
    if melt.outside:
        said.append(f"Outside the model's tested range: {some(melt.outside)}.")
    return " ".join(said)
