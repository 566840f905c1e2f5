"""How large to throw, the clay for it, and the water absorption of the fired body."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

from glazecalc.amounts import pounds_text
from glazecalc.display import BY_ROW, Tabular
from glazecalc.errors import ArgumentError, Notice, WorkshopError
from glazecalc.workshop.practice import choice, clay_by_chart, usual_figures
from glazecalc.workshop.shrinkage import Bar, Measured, Sizes, mean_of, shrinkages, sizes_from_fired, sizes_from_wet

__all__ = ("ClayLaw", "ClayMass", "SizeReport", "absorption_percent", "clay_mass_g", "size")

ClayLaw = Literal["thickness", "shape"]
_POWER: dict[ClayLaw, int] = {"thickness": 2, "shape": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class ClayMass:
    """The plastic clay for a piece, what the weight of the known piece stands on, and its source (None: it is your own).

    By ``"thickness"`` the wall stays as thick and the mass goes with the size squared; by ``"shape"`` cubed.
    """

    mass_g: float
    law: ClayLaw
    basis: str | None = None
    source: str | None = None

    @property
    def text(self) -> str:
        """The same in pounds and ounces."""
        return pounds_text(self.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeFigure:
    """One number of a report with its ends, where it has them: a row of its frame."""

    what: str
    value: float
    low: float | None
    high: float | None
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class SizeReport(Tabular):
    """Shrinkages, sizes, clay and absorption; what was not asked for is None.

    Attributes
    ----------
    drying, firing, total : Measured or None
        Shrinkages over the bars [%]: drying and total of the plastic length, firing of the dry length.
    total_percent : float or None
        Total shrinkage used [%].
    bar_error : float
        How far off the fired length of a bar may be, in its unit.
    wet_low_mm, wet_high_mm : float or None
        Between which the error of the bar moves the thrown size [mm].
    tolerance_mm, wet_tolerance_mm : float or None
        Tolerance of a collection on the fired size, either way, and at the wheel [mm].
    fired_spread_mm : tuple of float or None
        Smallest and largest, where pieces shrink as these bars did [mm].
    absorption : Measured or None
        Water absorption [% of the dry weight].
    """

    ROWS: ClassVar[str] = "figures"
    COLUMNS: ClassVar[Mapping[str, str]] = {"what": "", "value": BY_ROW, "low": BY_ROW, "high": BY_ROW, "unit": ""}
    PAGE: ClassVar[str] = "size"
    JSON: ClassVar[tuple[str, ...]] = (
        "drying_percent=drying.mean", "firing_percent=firing.mean", "total_percent", "bars=bar_count",
        "drying_spread=drying", "firing_spread=firing", "total_spread=total",
        "wet_mm=sizes.wet_mm", "dry_mm=sizes.dry_mm", "fired_mm=sizes.fired_mm",
        "wet_inches=sizes.wet_inches", "dry_inches=sizes.dry_inches", "fired_inches=sizes.fired_inches",
        "wet_low_mm", "wet_high_mm", "wet_tolerance_mm", "fired_spread_mm",
        "clay_g=clay.mass_g", "clay_text=clay.text", "clay_law=clay.law", "clay_source=clay.source",
        "absorption_percent=absorption.mean", "absorption_spread=absorption", "notices",
    )  # fmt: skip
    bars: tuple[Bar, ...] = ()
    drying: Measured | None = None
    firing: Measured | None = None
    total: Measured | None = None
    total_percent: float | None = None
    sizes: Sizes | None = None
    bar_error: float
    tolerance_mm: float | None = None
    wet_low_mm: float | None = None
    wet_high_mm: float | None = None
    wet_tolerance_mm: float | None = None
    fired_spread_mm: tuple[float, float] | None = None
    clay: ClayMass | None = None
    absorption: Measured | None = None
    notices: tuple[Notice, ...] = ()

    def __repr__(self) -> str:
        said = [f"total shrinkage {self.total_percent:.4g} %"] if self.total_percent is not None else []
        said += [f"throw {self.sizes.wet_mm:.1f} mm for {self.sizes.fired_mm:.1f} mm fired"] if self.sizes else []
        return f"<SizeReport: {', '.join(said) or f'{self.bar_count} bars'}>"

    @property
    def figures(self) -> tuple[SizeFigure, ...]:
        """Every number that was worked out, for a frame: shrinkages, sizes, clay and absorption."""
        return tuple(self._figures())

    def _figures(self) -> Iterator[SizeFigure]:
        shares = {"drying shrinkage": self.drying, "firing shrinkage": self.firing, "total shrinkage": self.total}
        for what, measured in {**shares, "absorption": self.absorption}.items():
            if measured is not None:
                yield SizeFigure(what=what, value=measured.mean, low=measured.low, high=measured.high, unit="%")
        if self.total is None and self.total_percent is not None:
            yield SizeFigure(what="total shrinkage", value=self.total_percent, low=None, high=None, unit="%")
        if self.sizes is not None:
            dry, fired = self.sizes.dry_mm, self.fired_spread_mm or (None, None)
            yield SizeFigure(
                what="thrown size", value=self.sizes.wet_mm, low=self.wet_low_mm, high=self.wet_high_mm, unit="mm"
            )
            if dry is not None:
                yield SizeFigure(what="dry size", value=dry, low=None, high=None, unit="mm")
            yield SizeFigure(what="fired size", value=self.sizes.fired_mm, low=fired[0], high=fired[1], unit="mm")
        if self.clay is not None:
            yield SizeFigure(what="clay", value=self.clay.mass_g, low=None, high=None, unit="g")

    @property
    def bar_count(self) -> int:
        """How many bars were measured."""
        return len(self.bars)


def size(
    *,
    bars: Sequence[Bar] = (),
    shrinkage_percent: float | None = None,
    want_mm: float | None = None,
    thrown_mm: float | None = None,
    bar_error: float | None = None,
    tolerance_mm: float | None = None,
    clay_g: float | None = None,
    clay_size_mm: float | None = None,
    clay_law: ClayLaw = "thickness",
    piece: Literal["plate", "bowl"] | None = None,
    absorbed_g: Sequence[tuple[float, float]] = (),
) -> SizeReport:
    """Work out sizes: from marked bars to shrinkage, from the fired size to the thrown one, and the clay for it.

    Parameters
    ----------
    bars : sequence of Bar
        Marked bars, each in any one unit.
    shrinkage_percent : float, optional
        Total linear shrinkage in place of bars [% of the plastic length].
    want_mm, thrown_mm : float, optional
        Fired size wanted, or size as thrown [mm]; one of the two.
    bar_error : float, optional
        How far off the fired length of a bar may be, in its unit; 0.5 where nothing is said.
    tolerance_mm : float, optional
        Tolerance of a collection on the fired size, either way [mm].
    clay_g, clay_size_mm : float, optional
        Clay [g] and fired size [mm] of a piece that worked.
    clay_law : str
        ``"thickness"`` (the wall stays as thick) or ``"shape"`` (it grows with the piece).
    piece : str, optional
        ``"plate"`` or ``"bowl"``: clay by a published chart, where you have no piece of your own.
    absorbed_g : sequence of (dry, boiled)
        Weights of fired pieces, dry and boiled [g].

    Returns
    -------
    SizeReport

    Raises
    ------
    ArgumentError
        If nothing is given to work from, or two things that exclude each other.
    WorkshopError
        For lengths, weights and errors that cannot be.

    Notes
    -----
    Drying and total shrinkage are on the plastic length (ASTM C326), firing shrinkage on the dry length; they do not add.

    Examples
    --------
    >>> import glazecalc as gc
    >>> found = gc.size(shrinkage_percent=12.5, want_mm=175)
    >>> round(found.sizes.wet_mm, 1), found.sizes.wet_inches
    (200.0, '7 7/8')
    """
    if bars and shrinkage_percent is not None:
        raise ArgumentError("give bars or a shrinkage, not both.")
    if want_mm is not None and thrown_mm is not None:
        raise ArgumentError("give the fired size (--want) or the thrown one (--thrown), not both.")
    if not bars and shrinkage_percent is None:
        _ask_for_more(sized=want_mm is not None or thrown_mm is not None, weighed=bool(absorbed_g))
    drying, firing, total = shrinkages(bars) if bars else (None, None, None)
    total_percent = total.mean if total else shrinkage_percent
    sizes, dry_percent = None, drying.mean if drying else None
    if total_percent is not None and want_mm is not None:
        sizes = sizes_from_fired(want_mm, total_percent, dry_percent)
    elif total_percent is not None and thrown_mm is not None:
        sizes = sizes_from_wet(thrown_mm, total_percent, dry_percent)
    error = choice("bar_error") if bar_error is None else bar_error
    wet_low_mm, wet_high_mm = _wet_range(bars, error, want_mm, total_percent)
    notices: tuple[Notice, ...] = ()
    if total_percent is not None and total_percent > choice("usual_shrinkage_percent"):
        text = f"{total_percent:.1f} % is more than clays shrink (5 to 17 %): are all lengths in one unit?"
        notices = (Notice("much-shrinkage", text),)
    return SizeReport(
        bars=tuple(bars),
        drying=drying,
        firing=firing,
        total=total,
        total_percent=total_percent,
        sizes=sizes,
        bar_error=error,
        tolerance_mm=tolerance_mm,
        wet_low_mm=wet_low_mm,
        wet_high_mm=wet_high_mm,
        wet_tolerance_mm=_wet_tolerance(tolerance_mm, sizes, total_percent),
        fired_spread_mm=_fired_spread(bars, sizes),
        clay=_clay(sizes, clay_g, clay_size_mm, clay_law, piece),
        absorption=mean_of([absorption_percent(dry, boiled) for dry, boiled in absorbed_g]) if absorbed_g else None,
        notices=notices,
    )


def _ask_for_more(*, sized: bool, weighed: bool) -> None:
    """Refuse a size without a shrinkage, and a call that says nothing."""
    if sized:
        hint = f"Give a bar (--wet 100 --fired 87.6) or --shrinkage 12%. {usual_figures('shrinkage_percent')}"
        raise ArgumentError("how much does the clay shrink?", hint)
    if not weighed:
        hint = "Give a bar (--wet, --dry, --fired), a shrinkage (--shrinkage 12%) or weights (--absorption)."
        raise ArgumentError("nothing was given to work from.", hint)


def _wet_range(
    bars: Sequence[Bar], error: float, want_mm: float | None, total_percent: float | None
) -> tuple[float, float] | tuple[None, None]:
    """Return between which sizes as thrown [mm] the error of the bar moves the answer."""
    if not bars or want_mm is None or total_percent is None:
        return None, None
    mean_wet = sum(bar.wet for bar in bars) / len(bars)
    fired_share = 1 - total_percent / 100
    if not 0 <= error < mean_wet * fired_share:
        raise WorkshopError(f"an error of {error:g} on a bar of {mean_wet:g} is not plausible.")
    return want_mm / (fired_share + error / mean_wet), want_mm / (fired_share - error / mean_wet)


def _wet_tolerance(tolerance_mm: float | None, sizes: Sizes | None, total_percent: float | None) -> float | None:
    if tolerance_mm is None or sizes is None or total_percent is None:
        return None
    if not 0 < tolerance_mm < sizes.fired_mm:
        raise WorkshopError("the tolerance is above zero and smaller than the piece.", "Write it like 3mm.")
    return tolerance_mm / (1 - total_percent / 100)


def _fired_spread(bars: Sequence[Bar], sizes: Sizes | None) -> tuple[float, float] | None:
    if not bars or sizes is None:
        return None
    totals = [bar.total_percent for bar in bars]
    return sizes.wet_mm * (1 - max(totals) / 100), sizes.wet_mm * (1 - min(totals) / 100)


def _clay(
    sizes: Sizes | None, known_g: float | None, known_mm: float | None, law: ClayLaw, piece: str | None
) -> ClayMass | None:
    if piece is not None:
        if sizes is None or known_g is not None or known_mm is not None:
            wanted = "give the size wanted (--want 11in), and no --clay-mass of your own."
            raise ArgumentError(f"--piece takes the chart's weights: {wanted}")
        chart_g, chart_mm, basis, source = clay_by_chart(piece, sizes.wet_mm)
        clay_g = clay_mass_g(chart_g, chart_mm, sizes.wet_mm, power=2)
        return ClayMass(mass_g=clay_g, law="thickness", basis=basis, source=source)
    if known_g is None and known_mm is None:
        return None
    if known_g is None or known_mm is None or sizes is None:
        said = "clay for another size needs the piece that worked and the size wanted."
        raise ArgumentError(said, 'Add --clay-mass "2 lb 12 oz" --clay-size 9in --want 11in.')
    if law not in _POWER:
        raise ArgumentError(f"the law of the clay is {law!r}; 'thickness' or 'shape' was expected.")
    return ClayMass(mass_g=clay_mass_g(known_g, known_mm, sizes.fired_mm, power=_POWER[law]), law=law)


def clay_mass_g(known_mass_g: float, known_mm: float, wanted_mm: float, *, power: float) -> float:
    """Return the plastic clay [g] for a similar piece of another size, measured at the same stage.

    Mass goes with area times thickness: size squared (`power` 2) at one thickness of the wall, as in plates and wide bowls,
    cubed (3) for the same shape throughout. Plain geometry.
    """
    if not (known_mass_g > 0 and known_mm > 0 and wanted_mm > 0):
        raise WorkshopError("clay weights and sizes are above zero.")
    return known_mass_g * math.pow(wanted_mm / known_mm, power)


def absorption_percent(dry_g: float, saturated_g: float) -> float:
    """Return the water absorption [% of the dry weight] by ASTM C373: 100 (saturated - dry) / dry.

    The standard boils for 5 h and soaks for 24 h; a shorter boil reads low.
    """
    if not (math.isfinite(dry_g) and dry_g > 0):
        raise WorkshopError(f"the dry weight is {dry_g:g} g; a weight above zero was expected.")
    if not (math.isfinite(saturated_g) and saturated_g >= dry_g):
        said = f"the boiled piece ({saturated_g:g} g) weighs less than the dry one ({dry_g:g} g)."
        raise WorkshopError(said, "Are the two the right way round?")
    return 100 * (saturated_g - dry_g) / dry_g
