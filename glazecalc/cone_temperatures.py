"""Pyrometric cones and the temperatures that charts print for them.

A cone measures heat-work, not temperature: what a chart prints is the temperature at which the cone bends at one
heating rate over the last 100 deg C. Between two printed rates we interpolate temperature linearly in the logarithm of
the rate. Names and order of the cones are in `cones`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial
from typing import ClassVar, NamedTuple

from glazecalc.cones import CONE_ORDER, Cone, parse_cone
from glazecalc.display import Shown, Tabular
from glazecalc.errors import ConeError
from glazecalc.files.shipped import load_data
from glazecalc.heat import Heat, heat_words, parse_heat

__all__ = (
    "ConeTemperature",
    "ConesAround",
    "HeatPoint",
    "celsius_to_fahrenheit",
    "cone_families",
    "cone_rows",
    "cone_temperature_c",
    "cones_for_temperature",
    "heat_points",
    "heats_apart",
)

# Further than a factor of two outside the printed rates a straight line in log rate is guesswork.
_FURTHEST_EXTRAPOLATION = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ConeTemperature(Shown):
    """The temperature at which a cone bends, from one column of one chart or between two columns.

    Attributes
    ----------
    family : str
        Kind of cone, e.g. ``"self-supporting"``.
    table : str
        Issue of the chart: ``"current"``, ``"older"`` or ``"1908"``.
    rate_c_per_h : float or None
        Heating rate over the last 100 deg C; None where the chart names none (Seger).
    interpolated, extrapolated : bool
        True where the number stands between two printed rates, or the rate outside them.
    from_memory : bool
        True where the printed value is known from the chart but was not read again for this project.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        "cone=cone.label", "family", "table", "rate_c_per_h", "rate_f_per_h", "celsius", "fahrenheit", "interpolated",
        "extrapolated", "from_memory", "source",
    )  # fmt: skip
    cone: Cone
    family: str
    table: str
    rate_c_per_h: float | None
    celsius: float
    interpolated: bool
    extrapolated: bool = False
    from_memory: bool = False
    source: str = ""

    @property
    def fahrenheit(self) -> float:
        """Temperature [deg F]."""
        return celsius_to_fahrenheit(self.celsius)

    @property
    def rate_f_per_h(self) -> float | None:
        """Heating rate [deg F/h]: a difference, so times 1.8 and no 32."""
        return None if self.rate_c_per_h is None else self.rate_c_per_h * 9 / 5


@dataclass(frozen=True, slots=True, kw_only=True)
class ConesAround(Tabular):
    """The two cones of one chart that a temperature lies between.

    Attributes
    ----------
    down, standing : ConeTemperature or None
        The hottest cone that is down at this temperature, and the next one, still standing; None where the chart ends.
    """

    ROWS: ClassVar[str] = "cones"
    COLUMNS: ClassVar[Mapping[str, str]] = {"cone=cone.label": "", "celsius": "deg C", "rate_c_per_h": "deg C/h"}
    JSON: ClassVar[tuple[str, ...]] = (
        "family=printed.family", "table=printed.table", "rate_c_per_h=printed.rate_c_per_h", "down=down.cone.label",
        "down_celsius=down.celsius", "standing=standing.cone.label", "standing_celsius=standing.celsius", "from_memory",
        "source=printed.source",
    )  # fmt: skip
    celsius: float
    down: ConeTemperature | None
    standing: ConeTemperature | None

    @property
    def cones(self) -> tuple[ConeTemperature, ...]:
        """The cone that is down and the one that stands, as far as the chart goes."""
        return tuple(cone for cone in (self.down, self.standing) if cone is not None)

    @property
    def printed(self) -> ConeTemperature | None:
        """The lower of the two that the chart prints: it names the chart and its rate."""
        return self.down or self.standing

    @property
    def from_memory(self) -> bool:
        """True where one of the two was not read again for this project."""
        return any(cone.from_memory for cone in (self.down, self.standing) if cone is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatPoint:
    """One end of what a card says of the heat, as a temperature and as a cone.

    Attributes
    ----------
    label : str
        ``6`` or ``1240 C``.
    celsius : float
        The temperature [deg C] at which the melt is judged: that of the cone by the chart, or the one that the card gives.
    cone : Cone or None
        The cone by which rules are judged: that of the card, or the hottest that is down at its temperature; None below the chart.
    said : str
        How the one was taken for the other.
    """

    label: str
    celsius: float
    cone: Cone | None
    said: str

    @property
    def words(self) -> str:
        """The label in words: ``cone 6`` or ``1240 C``."""
        return heat_words(self.label)


def celsius_to_fahrenheit(celsius: float) -> float:
    """Return a temperature [deg C] in [deg F]."""
    return celsius * 9 / 5 + 32


class _Chart(NamedTuple):
    """One chart of the data file: a family of cones in one issue, soft to hard."""

    family: str
    table: str
    celsius: Mapping[str, Mapping[float | None, float]]  # cone -> rate, None where none is named -> as printed
    memory: frozenset[str]
    source: str

    def printed(self, label: str) -> Mapping[float | None, float]:
        """Return rate -> temperature of one cone."""
        if label in self.celsius:
            return self.celsius[label]
        labels = list(self.celsius)
        text = f"the {self.table} table of {self.family} cones does not print cone {label}."
        raise ConeError(text, f"It prints {len(labels)} cones from {labels[0]} to {labels[-1]}.")

    def reaches(self, label: str, rate: float) -> bool:
        """Tell whether `rate` lies within the rates printed for a cone."""
        printed = [known for known in self.printed(label) if known is not None]
        return bool(printed) and min(printed) <= rate <= max(printed)


@cache
def _charts() -> tuple[_Chart, ...]:
    charts = []
    for entry in load_data("cone_tables.yaml")["tables"]:
        rates, rows = entry["rates_c_per_h"], entry["celsius"]
        celsius = {
            label: {rate: value for rate, value in zip(rates, rows[label], strict=True) if value is not None}
            for label in sorted(rows, key=CONE_ORDER.__getitem__)
        }
        memory = frozenset(entry.get("from_memory", {}).get("cones", ()))
        charts.append(_Chart(entry["family"], entry["table"], celsius, memory, entry["source"]))
    return tuple(charts)


def cone_families() -> tuple[tuple[str, str], ...]:
    """Return the pairs (family, table) that can be asked for, in the order of the data file."""
    return tuple((chart.family, chart.table) for chart in _charts())


def cone_temperature_c(
    cone: str | int | Cone,
    *,
    family: str = "self-supporting",
    rate_c_per_h: float | None = None,
    table: str | None = None,
    extrapolate: bool = False,
) -> ConeTemperature:
    """Return the temperature at which a cone bends.

    Parameters
    ----------
    cone : str, int or Cone
        ``"6"``, ``"06"``, ``"cone 6"``.
    family : str
        ``"self-supporting"``, ``"large"``, ``"small"``, ``"self-supporting iron-free"``, ``"large iron-free"`` (Orton) or
        ``"seger"``.
    rate_c_per_h : float, optional
        Heating rate over the last 100 deg C [deg C/h]; by default 60 where the chart prints 60, else the chart's only rate.
    table : str, optional
        Issue of the chart, by default ``"current"`` for Orton and ``"1908"`` for Seger; ``"older"`` is the older Orton
        large-cone table.
    extrapolate : bool
        Allow a rate outside the printed ones, up to a factor of two.

    Returns
    -------
    ConeTemperature
        The temperature with its chart and rate.

    Raises
    ------
    ConeError
        If the chart does not print the cone, or the rate lies outside its printed rates.

    Notes
    -----
    Between printed rates the temperature is linear in log(rate). Leaving out the 60 deg C/h column of the self-supporting
    chart and interpolating it from 15 and 150 misses by 2.4 deg C on average, 6 at most; linear in the rate itself the same
    trial misses by 11 on average, 23 at most.

    Examples
    --------
    >>> import glazecalc as gc
    >>> gc.cone_temperature_c("6").celsius, gc.cone_temperature_c("06").celsius
    (1222.0, 998.0)
    """
    wanted = parse_cone(cone)
    chart = _find_chart(family, table)
    printed = chart.printed(wanted.label)
    rate = _checked_rate(rate_c_per_h) if rate_c_per_h is not None else 60.0 if 60 in printed else next(iter(printed))
    celsius, interpolated, extrapolated = _at_rate(chart, wanted, rate, extrapolate=extrapolate)
    return ConeTemperature(
        cone=wanted,
        family=chart.family,
        table=chart.table,
        rate_c_per_h=rate,
        celsius=celsius,
        interpolated=interpolated,
        extrapolated=extrapolated,
        from_memory=wanted.label in chart.memory,
        source=chart.source,
    )


def cone_rows(cone: str | int | Cone, *, rate_c_per_h: float | None = None) -> tuple[ConeTemperature, ...]:
    """Return one row for each chart that prints the cone, Orton first, Seger beside it; without a rate, one a printed rate.

    A chart that does not reach the rate (the small cones print 300 only, Seger none) gives its printed rows instead, each
    under its own rate.
    """
    wanted = parse_cone(cone)
    asked = None if rate_c_per_h is None else _checked_rate(rate_c_per_h)
    rows: list[ConeTemperature] = []
    for chart in _charts():
        if wanted.label not in chart.celsius:
            continue
        reached = asked is not None and chart.reaches(wanted.label, asked)
        at = partial(cone_temperature_c, wanted, family=chart.family, table=chart.table)
        rows += [at(rate_c_per_h=rate) for rate in ((asked,) if reached else chart.printed(wanted.label))]
    return tuple(rows)


def cones_for_temperature(
    celsius: float, *, family: str = "self-supporting", rate_c_per_h: float | None = None, table: str | None = None
) -> ConesAround:
    """Return the two cones that a temperature lies between.

    Parameters
    ----------
    celsius : float
        Temperature [deg C] reached at the given rate, without a hold.
    family, rate_c_per_h, table
        As for `cone_temperature_c`.

    Returns
    -------
    ConesAround
        The hottest cone that is down and the next one that stands.

    Raises
    ------
    ConeError
        If the family, table or rate is not in the charts, or the temperature is no number.

    Examples
    --------
    >>> import glazecalc as gc
    >>> around = gc.cones_for_temperature(1230, rate_c_per_h=60)
    >>> str(around.down.cone), str(around.standing.cone)
    ('6', '7')
    """
    if not math.isfinite(celsius):
        raise ConeError(f"a temperature in C was expected; got {celsius!r}.")
    chart = _find_chart(family, table)
    at_rate = partial(cone_temperature_c, family=family, rate_c_per_h=rate_c_per_h, table=chart.table)
    labels = list(chart.celsius)
    if rate_c_per_h is not None:  # the softest cones are not printed at every rate
        _checked_rate(rate_c_per_h)
        labels = [label for label in labels if chart.reaches(label, rate_c_per_h)]
        if not labels:
            at_rate(next(iter(chart.celsius)))  # says why not
    bends = [at_rate(label) for label in labels]
    down = [bend for bend in bends if bend.celsius <= celsius]
    standing = [bend for bend in bends if bend.celsius > celsius]
    return ConesAround(celsius=celsius, down=down[-1] if down else None, standing=standing[0] if standing else None)


def heat_points(given: str | int | Cone | Heat) -> tuple[HeatPoint, ...]:
    """Return the temperature and the cone of each end of what a card says: one for ``"6"`` or ``"1240 C"``, two for ``"5-6"``.

    Raises
    ------
    ConeError
        For what is neither a cone nor a temperature, and for a cone that the chart of self-supporting cones does not print.

    Examples
    --------
    >>> from glazecalc.cone_temperatures import heat_points
    >>> [(point.words, point.celsius, str(point.cone)) for point in (*heat_points("5-6"), *heat_points("1240 C"))]
    [('cone 5', 1186.0, '5'), ('cone 6', 1222.0, '6'), ('1240 C', 1240.0, '7')]
    """
    heat = given if isinstance(given, Heat) else parse_heat(given)
    points = []
    for cone in heat.cones:
        bent = cone_temperature_c(cone)
        rate = f"{bent.family}, {bent.rate_c_per_h:g} C/h over the last 100 C"
        said = f"cone {cone} is taken as {bent.celsius:.0f} C ({rate})."
        points.append(HeatPoint(label=cone.label, celsius=bent.celsius, cone=cone, said=said))
    for celsius, words in zip(heat.celsius, heat.each if heat.celsius else (), strict=True):
        down = cones_for_temperature(celsius).down
        taken = f"{words} is taken as it stands for the melt" + ("" if words.endswith("C") else f" ({celsius:.0f} C)")
        by = f"the hottest that is down by then at {down.rate_c_per_h:g} C/h" if down is not None else ""
        rule = f"as cone {down.cone}, {by}; a hold would bend a harder one" if down is not None else "as no cone"
        said = f"{taken}; where a rule goes by cones it counts {rule}."
        points.append(HeatPoint(label=words, celsius=celsius, cone=down.cone if down is not None else None, said=said))
    return tuple(points)


def heats_apart(a: str, b: str) -> bool:
    """Tell whether two cards name no cone in common: ``"6"`` lies within ``"5-6"``, and 1225 C counts as cone 6; False where one is not known."""
    try:
        spans = [[CONE_ORDER[point.cone.label] for point in heat_points(one) if point.cone] for one in (a, b)]
    except ConeError:
        return bool(a) and bool(b) and a != b
    (first, second) = spans
    return bool(first) and bool(second) and (max(first) < min(second) or max(second) < min(first))


def _find_chart(family: str, table: str | None) -> _Chart:
    wanted = " ".join(family.lower().replace("-", " ").split())
    fitting = {chart.table: chart for chart in _charts() if chart.family.replace("-", " ") == wanted}
    if not fitting:
        known = ", ".join(dict.fromkeys(repr(chart.family) for chart in _charts()))
        raise ConeError(f"no family of cones is called {family!r}.", f"Known families: {known}.")
    first = next(iter(fitting.values()))
    if table is not None and table not in fitting:
        raise ConeError(f"no table {table!r} for the {first.family} cones.", f"Known: {', '.join(map(repr, fitting))}.")
    return first if table is None else fitting[table]


def _checked_rate(rate_c_per_h: float) -> float:
    if not (math.isfinite(rate_c_per_h) and rate_c_per_h > 0):
        raise ConeError(f"a heating rate above 0, in C/h, was expected; got {rate_c_per_h!r}.")
    return float(rate_c_per_h)


def _at_rate(chart: _Chart, cone: Cone, rate: float | None, *, extrapolate: bool) -> tuple[float, bool, bool]:
    """Return temperature, interpolated or not, extrapolated or not."""
    printed = chart.printed(cone.label)
    if rate in printed:
        return float(printed[rate]), False, False
    points = sorted((known, value) for known, value in printed.items() if known is not None)
    if rate is None or not points:
        raise ConeError(f"the table of {chart.family} cones names no heating rate.", "Leave the rate out.")
    low, high = points[0][0], points[-1][0]
    inside = low <= rate <= high
    within_reach = low / _FURTHEST_EXTRAPOLATION <= rate <= high * _FURTHEST_EXTRAPOLATION and len(points) > 1
    if not inside and not (extrapolate and within_reach):
        rates = ", ".join(f"{known:g}" for known, _ in points)
        chart_prints = f"the {chart.table} table of {chart.family} cones prints cone {cone} at {rates} C/h"
        mend = ", or allow extrapolation (extrapolate=True)." if within_reach else "."
        raise ConeError(f"{chart_prints}; {rate:g} C/h lies outside.", f"Ask for a rate it reaches{mend}")
    upper = max(1, next((place for place, (known, _) in enumerate(points) if known >= rate), len(points) - 1))
    (rate_0, celsius_0), (rate_1, celsius_1) = points[upper - 1], points[upper]
    share = math.log(rate / rate_0) / math.log(rate_1 / rate_0)
    return celsius_0 + share * (celsius_1 - celsius_0), inside, not inside
