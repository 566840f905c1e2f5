"""The short form of the bench cautions that belongs on a bucket: which class of concern, from which materials."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from glazecalc.caution.hazards import concerns, known_hazards, own_words
from glazecalc.material import Material

__all__ = ("ShortCautions", "short_cautions")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortCautions:
    """Bench cautions for a label.

    Attributes
    ----------
    classes : tuple of (label, names)
        Class of concern and the materials in it, gravest first.
    own_words : tuple of (name, text)
        What a material's own file says in words.
    no_entry : tuple of str
        Materials without any entry: their sheets were not seen, and that clears nothing.
    soluble : tuple of str
        Materials that dissolve in the bucket.
    """

    classes: tuple[tuple[str, tuple[str, ...]], ...]
    own_words: tuple[tuple[str, str], ...]
    no_entry: tuple[str, ...]
    soluble: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """Return the cautions, one a line."""
        out = [f"{kind}: {'; '.join(names)}" for kind, names in self.classes]
        out += [f"{name}: {text}" for name, text in self.own_words]
        if self.no_entry:
            out.append(f"No entry, ask for the sheet: {'; '.join(self.no_entry)}")
        if self.soluble:
            out.append(f"Dissolves in the bucket, pour no water off: {'; '.join(self.soluble)}")
        return out


def short_cautions(materials: Sequence[Material]) -> ShortCautions:
    """Return the short form of the bench cautions of a batch.

    A material with several hazards stands in each of their classes. Clays and feldspars that carry quartz stand under silica too.
    """
    once = list({material.id: material for material in materials}.values())
    groups: dict[str, list[str]] = {}
    for material in once:
        for key in dict.fromkeys(key for hazard in known_hazards(material) for key in hazard.concerns):
            groups.setdefault(key, []).append(material.name)
    return ShortCautions(
        classes=tuple((concern.label, tuple(groups[key])) for key, concern in concerns().items() if key in groups),
        own_words=tuple((material.name, text) for material in once for text in own_words(material)),
        no_entry=tuple(material.name for material in once if not material.hazards),
        soluble=tuple(dict.fromkeys(m.name for m in materials if m.solubility == "yes" and m.kind != "additive")),
    )
