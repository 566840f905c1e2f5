"""What is known of one material at the bench: what its file lists, what it keeps of a material that it hides, what follows from its composition."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from typing import ClassVar, Literal

from glazecalc.caution.hazard_rules import derived
from glazecalc.caution.hazards import MILDEST, Hazard, hazards
from glazecalc.errors import Notice
from glazecalc.material import Material

__all__ = ("Basis", "BenchHazard", "MaterialHazards", "hazard_notices", "hazards_of")

Basis = Literal["file", "inherited", "composition"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchHazard:
    """One hazard of a material, and how it is known."""

    JSON: ClassVar[tuple[str, ...]] = (
        "key=hazard.key", "label=hazard.label", "class=hazard.concern.key", "statements=hazard.statements", "handling=hazard.handling",
        "basis", "because", "source",
    )  # fmt: skip

    hazard: Hazard
    basis: Basis
    because: str = ""  # the oxides that it follows from, or the material that it is kept of
    source: str = ""  # of the rule that it follows from

    @property
    def mark(self) -> str:
        """How it is known, for a page; empty where the material's own file lists it."""
        words = {"file": "", "inherited": f"as the {self.because} it replaces", "composition": "from its composition"}
        return words[self.basis]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialHazards:
    """All that is known of a material at the bench."""

    JSON: ClassVar[tuple[str, ...]] = ("known", "own_words", "none_because", "is_unknown")

    known: tuple[BenchHazard, ...]
    own_words: tuple[str, ...]  # what its file says in words of its own
    none_because: str = ""  # why its file says that there are none

    @property
    def concerns(self) -> frozenset[str]:
        """Keys of the classes of concern that it stands in."""
        return frozenset(key for item in self.known for key in item.hazard.concerns)

    @property
    def concerns_said(self) -> frozenset[str]:
        """The same without the mild word on dust where a graver one stands."""
        return self.concerns - {MILDEST} or self.concerns

    @property
    def caustic(self) -> bool:
        """True for what makes a lye."""
        return any(item.hazard.caustic for item in self.known)

    @property
    def stops(self) -> bool:
        """True for what is not to be opened before its rules are settled."""
        return any(item.hazard.stop_code for item in self.known)

    @property
    def is_unknown(self) -> bool:
        """True where nothing is on file and nothing follows."""
        return not (self.known or self.own_words or self.none_because)

    def mark_of(self, of: Callable[[Hazard], bool]) -> str:
        """Return how these of its hazards are known, for a page: empty where its file lists one of them."""
        marks = list(dict.fromkeys(item.mark for item in self.known if of(item.hazard)))
        return ", ".join(marks) if all(marks) else ""


@cache  # a material is asked about by several rules, and in a table of recipes again and again
def hazards_of(material: Material) -> MaterialHazards:
    """Return what is known of a material at the bench.

    What its file lists stands first, then what it keeps of a material that it hides. Where that names no hazard of the bench hazards
    data, or is kept only, what follows from kind, formula and oxides is added. ``hazards: []`` with its reason ends the matter.
    """
    if material.hazards_note and not material.hazards:
        return MaterialHazards(known=(), own_words=(), none_because=" ".join(material.hazards_note.split()))
    known = {key: BenchHazard(hazard=hazards()[key], basis="file") for key in material.hazards if key in hazards()}
    listed = bool(known)
    for key in material.inherited_hazards:
        if key in hazards() and key not in known:
            known[key] = BenchHazard(hazard=hazards()[key], basis="inherited", because=material.inherited_from)
    if not listed:
        for key, because, group in derived(material, list(known)):
            before = [known[key].because] if key in known else []  # two metals of one frit
            both = ", ".join(dict.fromkeys((*before, because)))
            known[key] = BenchHazard(hazard=hazards()[key], basis="composition", because=both, source=group.source)
    words = (key for key in (*material.hazards, *material.inherited_hazards) if key not in hazards())
    return MaterialHazards(known=tuple(known.values()), own_words=tuple(dict.fromkeys(words)))


def hazard_notices(materials: Iterable[Material]) -> list[Notice]:
    """Return what must be said where nothing is known of a material, or its file says that there is nothing."""
    once = {material.id: (material, hazards_of(material)) for material in materials}.values()
    notices = []
    if unknown := [material.name for material, found in once if found.is_unknown]:
        text = f"no hazard data here, get the safety data sheet: {', '.join(unknown)}."
        notices.append(Notice("no-hazard-data", text))
    for material, found in once:
        if found.none_because:
            text = f"{material.name} is taken as without hazards, because its file says: {found.none_because}"
            notices.append(Notice("hazards-said-none", text))
    return notices
