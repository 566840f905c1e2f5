"""The numbers by which a search decides, from data/reformulate_choices.yaml, where each has its reason."""

from __future__ import annotations

from glazecalc.files.shipped import load_data

__all__ = ("choice", "chosen_kinds")


def choice(name: str) -> float:
    """Return the number of this name; its unit is in the name."""
    return float(load_data("reformulate_choices.yaml")[name]["value"])


def chosen_kinds(name: str) -> tuple[str, ...]:
    """Return the kinds of materials that stand under this name."""
    return tuple(load_data("reformulate_choices.yaml")[name]["value"])
