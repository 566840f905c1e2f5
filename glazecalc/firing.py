"""Firings: one glaze on one body, and what came out of the kiln."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ("RESULTS", "Firing")

RESULTS = ("crazed", "sound", "shivered")


@dataclass(frozen=True, slots=True)
class Firing:
    """One row: a recipe file or name, the body, the cone, what came out, a remark, and the row's line."""

    recipe: str
    body: str
    cone: str
    result: str
    note: str
    line: int
