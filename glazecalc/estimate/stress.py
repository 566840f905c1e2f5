"""Stress of a glaze on its body, from a mismatch that was measured.

It is worked out only where the expansions of both were measured on one range of temperature: a calculated glaze and a measured
body stand on different scales.
"""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.display import RECALLED, Shown
from glazecalc.errors import CompositionError
from glazecalc.files.shipped import load_data

__all__ = ("Mismatch", "measured_mismatch")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mismatch(Shown):
    """Stress from a measured mismatch.

    Attributes
    ----------
    difference_1e6_per_k : float
        Body minus glaze; positive puts the glaze in compression.
    strain_percent : float
        Linear mismatch from the set point down to room temperature.
    stress_mpa : float
        In the glaze; negative is compression.
    """

    difference_1e6_per_k: float
    strain_percent: float
    stress_mpa: float
    state: str
    assumptions: tuple[str, ...]
    source: str


def measured_mismatch(
    *,
    glaze_1e6_per_k: float,
    body_1e6_per_k: float,
    glaze_range_c: tuple[float, float],
    body_range_c: tuple[float, float],
    set_point_c: float | None = None,
    glaze_to_body_thickness: float = 0.0,
) -> Mismatch:
    """Return the thin-layer stress of a glaze on a body, both measured on one range of temperature.

    Parameters
    ----------
    glaze_1e6_per_k, body_1e6_per_k : float
        Measured mean linear expansion [1e-6 per K].
    glaze_range_c, body_range_c : tuple of float
        The range of each measurement [deg C].
    set_point_c : float, optional
        Where the glaze stiffens [deg C]; a typical value otherwise, said in the assumptions.
    glaze_to_body_thickness : float
        Thickness of glaze (both faces) over that of the body; 0 for a thin layer on a stout wall.

    Returns
    -------
    Mismatch
        The stress with the assumptions it stands on.

    Raises
    ------
    CompositionError
        If the ranges differ, or a number is out of reason.

    Notes
    -----
    stress = -E / (1 - nu) x (body - glaze) x (set point - room) / (1 + thickness ratio), with E' equal in glaze and body.

    Examples
    --------
    >>> import glazecalc as gc
    >>> ranges = {"glaze_range_c": (20, 500), "body_range_c": (20, 500)}
    >>> found = gc.measured_mismatch(glaze_1e6_per_k=6.1, body_1e6_per_k=7.0, **ranges)
    >>> found.state, round(found.stress_mpa)
    ('compression', -40)
    """
    data = load_data("fit_stress.yaml")
    if glaze_range_c != body_range_c:
        (glaze_low, glaze_high), (body_low, body_high) = glaze_range_c, body_range_c
        measured = f"over {glaze_low:g}-{glaze_high:g} C and the body over {body_low:g}-{body_high:g} C"
        raise CompositionError(f"the glaze was measured {measured}.", "A mismatch needs both on one range.")
    for name, value in (("glaze", glaze_1e6_per_k), ("body", body_1e6_per_k)):
        if not 0 <= value <= 30:
            raise CompositionError(f"the expansion of the {name} is {value:g}; 0 to 30 (1e-6 per K) was expected.")
    defaults = data["defaults"]
    set_point = float(defaults["set_point_c"]["value"] if set_point_c is None else set_point_c)
    room = float(defaults["room_c"]["value"])
    if not room < set_point <= 900 or not 0 <= glaze_to_body_thickness <= 2:
        given = f"a set point of {set_point:g} C with a thickness ratio of {glaze_to_body_thickness:g}"
        raise CompositionError(f"{given} is not plausible.")
    modulus, poisson = float(defaults["young_modulus_gpa"]["value"]), float(defaults["poisson_ratio"]["value"])
    difference = body_1e6_per_k - glaze_1e6_per_k
    strain = difference * 1e-6 * (set_point - room)
    stress = -modulus * 1000.0 / (1.0 - poisson) * strain / (1.0 + glaze_to_body_thickness)
    low, high = defaults["set_point_c"]["range"]
    chosen = f"typical of {low:g}-{high:g} C ({RECALLED})" if set_point_c is None else "as given"
    thin = "" if glaze_to_body_thickness else ", glaze thin beside the wall"
    return Mismatch(
        difference_1e6_per_k=difference,
        strain_percent=100.0 * strain,
        stress_mpa=stress + 0.0,
        state="compression" if stress < 0 else "tension" if stress > 0 else "none",
        assumptions=(
            f"E {modulus:g} GPa and Poisson's ratio {poisson:g}, typical of glasses ({RECALLED})",
            f"set point {set_point:g} C, {chosen}",
            f"elastic, no reaction layer, uniform thickness{thin}",
        ),
        source=f"{data['source']['title']} ({RECALLED}; confidence {data['source']['confidence']})",
    )
