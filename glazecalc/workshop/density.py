"""The solids density of a batch, from its materials."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from glazecalc.convert.batch import Batch
from glazecalc.errors import Notice, WorkshopError
from glazecalc.material import Material
from glazecalc.workshop.practice import choice

__all__ = ("SolidsDensity", "batch_density", "given_density", "solids_density")


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidsDensity:
    """Mass over the true volume of the grains; `unknown` names the materials that were taken at the mean of the rest."""

    g_cm3: float
    given: bool = False
    unknown: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()


def given_density(g_cm3: float) -> SolidsDensity:
    """Return a density [g/cm3] that the user gave; one that no solid of a glaze could have is refused."""
    if not choice("lowest_solids_density_g_cm3") <= g_cm3 <= choice("highest_solids_density_g_cm3"):
        said = f"a solids density of {g_cm3:g} g/cm3 is not plausible."
        raise WorkshopError(said, "Glaze batches lie between about 2.4 and 3; 2.6 is common.")
    return SolidsDensity(g_cm3=g_cm3, given=True)


def batch_density(batch: Batch | None, given_g_cm3: float | None = None) -> SolidsDensity:
    """Return the solids density of a batch: as given, or from its materials."""
    if given_g_cm3 is not None:
        return given_density(given_g_cm3)
    if batch is None:
        hint = "Give the materials, or solids_density_g_cm3=2.6."
        raise WorkshopError("the solids density is not known.", hint)
    return solids_density([line.parts for line in batch.lines], batch.materials)


def solids_density(masses: Sequence[float], materials: Sequence[Material]) -> SolidsDensity:
    """Return the density of a mixed batch, sum(w) / sum(w / rho), from the mass (any unit) and material of each line.

    A material of unknown density is taken at the mean of the rest, and named; where that is half of the mass, it is refused.
    """
    total = math.fsum(masses)
    lines = list(zip(masses, materials, strict=True))
    known = [(w, m.density_g_cm3) for w, m in lines if m.density_g_cm3 is not None]
    unknown = tuple(dict.fromkeys(m.name for w, m in lines if m.density_g_cm3 is None and w > 0))
    known_mass = math.fsum(w for w, _ in known)
    if not total > 0 or known_mass < choice("least_known_density_share") * total:
        raise WorkshopError(
            f"the density is not known for most of the batch ({', '.join(unknown)}).",
            "Give the solids density (--solids-density 2.6), or write density_g_cm3 in the material's file.",
        )
    density = known_mass / math.fsum(w / rho for w, rho in known)
    notices = []
    if unknown:
        said = (
            f"no density is known for {', '.join(unknown)} ({100 * (1 - known_mass / total):.1f} % of the batch); the mean of the rest is "
            f"taken, {density:.2f} g/cm3. Give your own with --solids-density."
        )
        notices.append(Notice("density-unknown", said))
    worth_saying = choice("dissolving_share") * total
    dissolving = ", ".join(m.name for w, m in lines if m.solubility == "yes" and w > worth_saying)
    if dissolving:
        said = f"{dissolving} dissolves in the bucket, but the water is worked out as if it stayed solid."
        notices.append(Notice("dissolves", said))
    return SolidsDensity(g_cm3=density, unknown=unknown, notices=tuple(notices))
