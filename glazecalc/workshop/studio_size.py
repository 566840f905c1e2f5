"""A batch larger than what a studio mixes at once: seldom meant, never refused."""

from __future__ import annotations

from glazecalc.errors import Notice
from glazecalc.workshop.practice import choice

__all__ = ("questioned_size",)


def questioned_size(dry_g: float, volume_ml: float | None = None) -> tuple[Notice, ...]:
    """Return the question whether a batch is meant that is larger than what a studio mixes: dry [g], and as slurry [ml]."""
    said = []
    if dry_g > (most := choice("studio_batch_g")):
        said.append(f"{dry_g / 1000:,.0f} kg dry (over {most / 1000:g} kg)".replace(",", " "))
    if volume_ml is not None and volume_ml > (most := choice("studio_bucket_ml")):
        said.append(f"{volume_ml / 1000:,.0f} l of slurry (over {most / 1000:g} l)".replace(",", " "))
    if not said:
        return ()
    return (Notice("large-batch", f"{' and '.join(said)} is more than a studio mixes at once: is it meant?"),)
