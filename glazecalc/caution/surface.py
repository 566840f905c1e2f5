"""The surface that food lies on: open, crawled, crazed, pinholed or rough glazes against the wording of food codes.

Chemistry does not show a surface. What is looked at here is how the surface is said to be, what the recipe calls itself, and how
much water the body takes up. What makes a glaze crawl stands in `crawling`.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.caution.surface_rules import (
    SurfaceRule,
    absorption_class,
    absorption_limits,
    food_codes,
    surface_names,
    surface_rules,
)
from glazecalc.cone_temperatures import heats_apart
from glazecalc.convert.batch import Batch
from glazecalc.errors import UnknownNameError, did_you_mean
from glazecalc.recipe import NOT_FOR_FOOD, Use
from glazecalc.sentences import capital

if TYPE_CHECKING:
    from glazecalc.body import ClayBody

__all__ = ("SURFACES", "SaidSurface", "body_cautions", "given_surface", "said_surfaces", "surface_cautions")

SURFACES: tuple[str, ...] = ("crawled", "crazed", "pinholed", "rough", "metallic", "crystalline", "textured")
"""How a fired surface may be stated to be: what the food codes are read for. Other names of the trade (crackle, gun metal, shino) are read too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidSurface:
    """How a fired surface is said to be.

    Attributes
    ----------
    word : str
        As it was given, or as it stands in the recipe.
    key : str
        The kind of surface, or the name of the trade, by which the data has it.
    looks : str
        What the word says, in a few words.
    given : bool
        True where it was given as the surface, not read in the recipe.
    """

    word: str
    key: str
    looks: str
    given: bool


def said_surfaces(batch: Batch, surfaces: Collection[str] = ()) -> tuple[SaidSurface, ...]:
    """Return how the surface is said to be: as given in `surfaces`, then as the recipe's title calls it, or its notes.

    UnknownNameError for a given word that says nothing known of a surface.
    """
    given = [given_surface(word) for word in surfaces]
    known = {said.key for said in given}
    title, notes = (_plain(text) for text in (batch.recipe.name, batch.recipe.notes))
    read = [*_read_in(f"{title} | {notes}", rules_only=True), *_read_in(title, rules_only=False)]
    spans = [span for span, _ in read]
    for (start, end), said in read:
        within = any(left <= start and end <= right and (left, right) != (start, end) for left, right in spans)
        if said.key not in known and not within:
            known.add(said.key)
            given.append(said)
    return tuple(given)


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[-_]", " ", text).lower().replace("\u2019", "'").split())


def given_surface(word: str) -> SaidSurface:
    """Return what a word given for the surface says; UnknownNameError for one that is not known."""
    wanted = _plain(word)
    every: list[str] = []
    for key, looks, words in (*_words_of_rules(), *_words_of_names()):
        if wanted == key or wanted in words:
            return SaidSurface(word=word, key=key, looks=looks, given=True)
        every += (key, *words)
    hint = (
        did_you_mean(wanted, every)
        or f"Known: {', '.join(SURFACES)}, gloss, satin, matt, and names of the trade such as crackle or gun metal."
    )
    raise UnknownNameError(f"'{word}' is not a surface known here.", hint)


@lru_cache
def _read_in(text: str, *, rules_only: bool) -> tuple[tuple[tuple[int, int], SaidSurface], ...]:
    """Return what a text says of the surface, with its place: words of the rules as they begin, names of the trade as whole words."""
    read = []
    for key, looks, words in _words_of_rules() if rules_only else _words_of_names():
        longest_first = sorted(words, key=len, reverse=True)
        end = "" if rules_only else r"\b"
        found = re.search(rf"\b(?:{'|'.join(map(re.escape, longest_first))}){end}", text)
        if found:
            read.append((found.span(), SaidSurface(word=found[0], key=key, looks=looks, given=False)))
    return tuple(read)


def _words_of_rules() -> list[tuple[str, str, tuple[str, ...]]]:
    return [(key, rule.looks, rule.words) for key, rule in surface_rules().items()]


def _words_of_names() -> list[tuple[str, str, tuple[str, ...]]]:
    return [(key.replace("_", " "), name.looks, name.words) for key, name in surface_names().items()]


def surface_cautions(batch: Batch, *, use: Use | None = None, surfaces: Collection[str] = ()) -> list[Caution]:
    """Return what deserves a word about the fired surface: `surfaces` are stated, not guessed.

    The name and notes of the recipe are read for words such as "crawl" or "crackle".
    """
    rules = surface_rules()
    found = []
    for said in said_surfaces(batch, surfaces):
        rule = rules.get(said.key)
        if rule is not None and said.given:
            found.append(_surface(said.key, rule, f"The surface is given as {said.word}.", Severity.STOP, use))
        elif rule is not None:
            found.append(_surface(said.key, rule, f"The recipe's name or notes say '{said.word}'.", Severity.LOOK, use))
    return found


def _surface(name: str, rule: SurfaceRule, what: str, severity: Severity, use: Use | None) -> Caution:
    codes = food_codes()
    why = f"By this program's reading of {codes[0].document} it is not an easily cleanable food surface."
    reads = f"{capital(rule.reading)}."
    do = f"{'; '.join(rule.conditions)}."
    do = capital(do)
    if use == NOT_FOR_FOOD:
        do = "Keep it off ware that could hold food."
    return raised(
        rule.code,
        f"{reads} {what}",
        severity,
        use=use,
        why=why,
        do=do,
        evidence={
            "surface": name,
            "use": use or "not given, read as food ware",
            "codes": [f"{code.document}: {code.asks}" for code in codes],
        },
        source="; ".join(code.source for code in codes),
    )


def body_cautions(body: ClayBody | None, *, use: Use | None = None, cone: str = "") -> list[Caution]:
    """Return what deserves a word about how much water the body takes up under a food surface; nothing where it is not known.

    At a `cone` other than the body's own its absorption says nothing.
    """
    if body is None or body.absorption_percent is None or use == NOT_FOR_FOOD or heats_apart(body.cone, cone):
        return []
    value, limits = body.absorption_percent, absorption_limits()
    limit, name = limits["caution_above"], absorption_class(value)
    if value <= limit.value:
        return []
    caution = raised(
        "body-absorbs",
        f"A bare foot weeps, and the glaze may craze later: {body.name} takes up {value:g} % of water ({name}); above {limit.value:g} %.",
        why="Such a body heats up in a microwave oven, swells with moisture, and so crazes its glaze.",
        do="Measure it on your own firing (ASTM C373), fire higher or choose a denser clay, and test for late crazing (ASTM C424).",
        evidence={"absorption_wt_percent": value, "threshold_wt_percent": limit.value, "class": name},
        source=f"{limit.source}; classes: {limits['vitreous_at_most'].source}",
    )
    return [caution]
