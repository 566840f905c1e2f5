"""What a bag is taken to be at the bench where its own file lists no hazards: from its kind, formula and oxides.

The rules stand in ``hazard_rules.yaml``. They find what an analysis says and clear nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache

from glazecalc.caution.composition import holds_at_least, percent_of
from glazecalc.files.shipped import read_mapping, read_one
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.spelling import name_key

__all__ = ("Group", "Melted", "Rule", "derived", "groups", "is_melted", "melted")

_FILE = "hazard_rules.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Melted:
    """What counts as melted into a glass: by its kind, a word of its name, or what it holds [wt %]."""

    kinds: tuple[str, ...]
    words: tuple[str, ...]
    least: Mapping[str, float]
    most: Mapping[str, float]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """From when on a material counts as a hazard; what is empty asks nothing."""

    hazard: str  # a key of the bench hazards
    melted: bool | None = None  # for frits and glasses only, or for all else only
    kinds: tuple[str, ...] = ()
    formulas: tuple[str, ...] = ()
    solubility: tuple[str, ...] = ()  # an empty text stands for a solubility that is not given
    least: Mapping[str, float] = field(default_factory=FrozenDict)  # wt %
    most: Mapping[str, float] = field(default_factory=FrozenDict)  # wt %

    def fits(self, material: Material) -> bool:
        """Return True where the material is one of these."""
        return (
            (not self.kinds or material.kind in self.kinds)
            and (not self.formulas or material.formula in self.formulas)
            and (not self.solubility or (material.solubility or "") in self.solubility)
            and holds_at_least(material, self.least)
            and all(percent_of(material, names) <= percent for names, percent in self.most.items())
            and (self.melted is None or self.melted is is_melted(material))
        )

    def because(self, material: Material) -> str:
        """Return what of the material made it fit, in words."""
        held = [f"{names} {percent_of(material, names):.3g} %" for names in self.least]
        if not held and self.melted:
            return "a frit or a glass"
        return ", ".join(held) or (f"formula {material.formula}" if self.formulas else f"kind {material.kind}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The rules of one concern; the first that fits is taken."""

    key: str
    rules: tuple[Rule, ...]
    source: str

    @property
    def hazards(self) -> frozenset[str]:
        """Every hazard that a rule of the group can give."""
        return frozenset(rule.hazard for rule in self.rules)


@cache
def melted() -> Melted:
    """Return what counts as melted into a glass."""
    return read_one(Melted, _FILE, "melted")


@cache
def groups() -> Mapping[str, Group]:
    """Return the groups of rules by their key."""
    return read_mapping(Group, _FILE, "groups")


def is_melted(material: Material) -> bool:
    """Return True for a frit or a glass."""
    glass = melted()
    words = {word for name in material.names for word in name_key(name)}
    holds = holds_at_least(material, glass.least) and all(
        percent_of(material, names) <= percent for names, percent in glass.most.items()
    )
    return material.kind in glass.kinds or bool(words & set(glass.words)) or holds


def derived(material: Material, known: Collection[str] = ()) -> Iterator[tuple[str, str, Group]]:
    """Yield the hazards that follow from a material's composition: each key, because of what, and its group.

    A group of which a hazard is `known` already is left out.
    """
    for group in groups().values():
        if group.hazards.isdisjoint(known):
            rule = next((rule for rule in group.rules if rule.fits(material)), None)
            if rule is not None:
                yield rule.hazard, rule.because(material), group
