"""What the published glazes that were fired say of the models; one command::

    python -m tests.calibration.fired_set

It reads `glazecalc/data/fired_glazes.csv`, asks the shipped models about every row at its firing temperature, and writes
`glazecalc/data/fired_bands.yaml` (to the last digit the same each time, a test compares) and the report `fired_set.md` beside
this file: how the readings do on glazes of a source that was left out of the bands.

Inside the range means inside what the model was tested in, dark glazes included. The bands are tenths of the rows, not of the
sources: one source holds a third of them. An edge is the value of a row, the innermost with a tenth of the rows beyond it,
so that a glaze in doubt is tested. How far the edges move when whole sources are drawn anew stands beside them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from glazecalc.cone_temperatures import cone_temperature_c
from glazecalc.convert.moles import as_row
from glazecalc.convert.unity import MolePercent
from glazecalc.estimate.expansion import expansion
from glazecalc.estimate.fired_glazes import FiredGlaze, fired_glazes
from glazecalc.estimate.viscosity import viscosities, vogel_fit

DATA = Path(__file__).parents[2] / "glazecalc" / "data"
ROWS, BANDS, REPORT = DATA / "fired_glazes.csv", DATA / "fired_bands.yaml", Path(__file__).with_name("fired_set.md")
DIGITS = 4

# Seger's cones: moles of Al2O3 and SiO2 on 0.3 K2O, 0.7 CaO. Those of cones 4, 6 and 8 are held by tests/published/test_seger_cones.py;
# all are recalled (H. Seger, Collected Writings, 1902; confidence high).
SEGER = {"4": (0.5, 4), "5": (0.5, 5), "6": (0.6, 6), "7": (0.7, 7), "8": (0.8, 8), "9": (0.9, 9), "10": (1.0, 10), "11": (1.2, 12), "12": (1.4, 14)}  # fmt: skip

OWN = {"recommendation": True, "confidence": "medium"}
CHOICES: dict[str, Any] = {
    "stiff_as_a_cone": {"value": 4.4, "unit": "log10 Pa s", **OWN,
        "basis": "Seger's cones 4 to 12 by their recalled formulas calculate at 4.4 to 4.6 where they bend (cone_bends); rounded down"},
    "very_fluid": {"value": 1.5, "unit": "log10 Pa s", **OWN,
        "basis": "below it more than half of the fired glazes ran or moved a good deal, above it one in nine"},
    "well_observed_cones": {"low": "4", "high": "11", **OWN,
        "basis": "medians of matured glazes agree from cone 4 to 11 (by_cone); outside there are a handful of rows"},
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One glaze and firing with what the models say of it."""

    id: str
    source: str
    cone: str
    celsius: float
    melt: str
    moved: bool
    surface: str
    crazing: str
    crawling: bool
    glaze: MolePercent
    log10_pa_s: float
    region: str  # where it lies in the range of the viscosity model
    expansion: float  # [1e-6 per K]

    @property
    def inside(self) -> bool:
        return self.region in ("inside", "dark")

    @property
    def matured(self) -> bool:
        return self.melt == "mature"

    @property
    def ratio(self) -> float:
        """SiO2 : Al2O3 by moles."""
        return self.glaze["SiO2"] / self.glaze["Al2O3"]

    @property
    def not_melted(self) -> bool:
        return self.melt in ("unmelted", "underfired")


def rows() -> list[Row]:
    """Return every row of the shipped file."""
    return [_row(one) for one in fired_glazes()]


def _row(one: FiredGlaze) -> Row:
    glaze, celsius = one.mole_percent, one.temperature_c
    return Row(
        **{
            name: getattr(one, name)
            for name in ("id", "source", "cone", "melt", "surface", "crazing", "moved", "crawling")
        },
        celsius=celsius,
        glaze=glaze,
        log10_pa_s=float(viscosities(as_row(glaze), celsius)[0]),
        region=vogel_fit().place(glaze, celsius).region,
        expansion=expansion(glaze).value,
    )


def lower_tenth(values: Iterable[float]) -> float:
    """Return the value of the first row with at least a tenth of the rows below it."""
    return float(np.quantile(list(values), 0.1, method="higher"))


def upper_tenth(values: Iterable[float]) -> float:
    """Return the value of the last row with at least a tenth of the rows above it."""
    return float(np.quantile(list(values), 0.9, method="lower"))


def melt_edge(found: Sequence[Row]) -> float:
    """Return the upper tenth of those that matured inside the range."""
    return upper_tenth(row.log10_pa_s for row in found if row.matured and row.inside)


def run_edge(found: Sequence[Row]) -> float:
    """Return the lower tenth of those that matured inside the range and stayed where they were."""
    return lower_tenth(row.log10_pa_s for row in found if row.matured and row.inside and not row.moved)


def expansion_edges(found: Sequence[Row]) -> tuple[float, float]:
    """Return the lower and upper tenth of all that matured."""
    values = [row.expansion for row in found if row.matured]
    return lower_tenth(values), upper_tenth(values)


def drawn_anew(found: Sequence[Row], edge: Callable[[Sequence[Row]], float]) -> list[float]:
    """Return the range that holds 80 % of an edge when whole sources are drawn anew (400 draws, seed 1)."""
    by_source: dict[str, list[Row]] = {}
    for row in found:
        by_source.setdefault(row.source, []).append(row)
    names, random = list(by_source), np.random.default_rng(1)
    edges = [edge([row for name in random.choice(names, len(names)) for row in by_source[name]]) for _ in range(400)]
    return _sorted(np.quantile(edges, [0.1, 0.9]))


def _sorted(values: Iterable[float]) -> list[float]:
    return sorted(round(float(value), DIGITS) for value in values)


def _group(chosen: Sequence[Row], value: Callable[[Row], float]) -> dict[str, Any]:
    return {"n": len(chosen), "sources": len({row.source for row in chosen}), "values": _sorted(map(value, chosen))}


def cone_bends() -> dict[str, float]:
    """Return log10 viscosity of Seger's cones where they bend."""
    bends = {}
    for cone, (alumina, silica) in SEGER.items():
        moles = {"K2O": 0.3, "CaO": 0.7, "Al2O3": alumina, "SiO2": silica}
        share = MolePercent({oxide: 100 * value / sum(moles.values()) for oxide, value in moles.items()})
        celsius = cone_temperature_c(cone, family="seger").celsius
        bends[cone] = round(float(viscosities(as_row(share), celsius)[0]), DIGITS)
    return bends


def bands(found: Sequence[Row]) -> dict[str, Any]:
    """Return what the data file holds."""
    matured = [row for row in found if row.matured]
    inside = [row for row in matured if row.inside]
    fluid = [row for row in found if not row.not_melted]
    at = {name: cone_temperature_c(CHOICES["well_observed_cones"][name]).celsius for name in ("low", "high")}

    def thick(row: Row) -> float:
        return row.log10_pa_s

    def by_heat(low: float, high: float) -> dict[str, Any]:
        values = [row.log10_pa_s for row in inside if low <= row.celsius < high]
        return {"n": len(values), "median": round(float(np.median(values)), DIGITS)}

    low, high = expansion_edges(found)
    return {
        "glazes": len(found),
        "sources": len({row.source for row in found}),
        "few": {
            "below": sum(row.celsius < at["low"] for row in found),
            "above": sum(row.celsius > at["high"] for row in found),
        },
        "viscosity": {
            "unit": "log10 Pa s",
            "melt_upper_tenth": round(melt_edge(found), DIGITS),
            "melt_upper_tenth_drawn_anew": drawn_anew(found, melt_edge),
            "run_lower_tenth": round(run_edge(found), DIGITS),
            "run_lower_tenth_drawn_anew": drawn_anew(found, run_edge),
            "matured_inside": _group(inside, thick),
            "matured_inside_stayed": _group([row for row in inside if not row.moved], thick),
            "matured": _group(matured, thick),
            "not_melted": _group([row for row in found if row.not_melted and not row.crawling], thick),
            "crawl_glazes_not_melted": _group([row for row in found if row.not_melted and row.crawling], thick),
            "ran": _group([row for row in found if row.melt == "running"], thick),
            "moved": _group([row for row in matured if row.moved], thick),
            "by_cone": {"4 to 5.5": by_heat(1160, 1210), "6 to 7": by_heat(1210, 1245), "8 to 11": by_heat(1245, 1300)},
            "cone_bends": cone_bends(),
        },
        "expansion": {
            "unit": "1e-6 per K",
            "lower_tenth": round(low, DIGITS),
            "upper_tenth": round(high, DIGITS),
            "matured": _group(matured, lambda row: row.expansion),
            "crazed": _group([row for row in found if row.crazing == "crazed"], lambda row: row.expansion),
            "sound": _group([row for row in found if row.crazing == "sound"], lambda row: row.expansion),
            "shivered": _group([row for row in found if row.crazing == "shivered"], lambda row: row.expansion),
        },
        "silica_alumina_ratio": {
            name: _group([row for row in fluid if row.surface in words], lambda row: row.ratio)
            for name, words in (("gloss", ("gloss",)), ("satin", ("satin",)), ("matt", ("matt", "dry")))
        },
        "choices": CHOICES,
    }  # fmt: skip


def text(found: Sequence[Row]) -> str:
    """Return the data file."""
    head = (
        "# What the glazes of fired_glazes.csv say: log10 viscosity at the firing temperature, expansion and SiO2:Al2O3 of each class.\n"
        "# Written by: python -m tests.calibration.fired_set. Do not edit: change the program and run it again.\n"
        "# Inside: in the range that the viscosity model was tested in. drawn_anew: where the edge lies in 80 % of draws of whole sources.\n\n"
    )
    return head + yaml.safe_dump(bands(found), sort_keys=False, default_flow_style=None, width=150)


def melt_class(row: Row, edge: float) -> str:
    """Return what the reading `melt` says of a row."""
    if row.region == "beyond":
        return "melt-not-judged"
    cone: float = CHOICES["stiff_as_a_cone"]["value"]
    return "melt-among" if row.log10_pa_s < edge else "melt-stiff" if row.log10_pa_s < cone else "melt-like-a-cone"


def run_class(row: Row, edge: float) -> str:
    """Return what the reading `run` says of a row."""
    if row.region == "beyond":
        return "run-not-judged"
    least: float = CHOICES["very_fluid"]["value"]
    return "run-among" if row.log10_pa_s > edge else "run-fluid" if row.log10_pa_s >= least else "run-very-fluid"


def left_out(found: Sequence[Row]) -> dict[str, dict[str, dict[str, int]]]:
    """Return how often each code is read in each class, every source read by bands made without it."""
    groups: dict[str, Callable[[Row], bool]] = {
        "matured, inside the range": lambda row: row.matured and row.inside,
        "matured, outside it": lambda row: row.matured and not row.inside,
        "ran": lambda row: row.melt == "running",
        "not melted": lambda row: row.not_melted and not row.crawling,
        "not melted, crawl glazes": lambda row: row.not_melted and row.crawling,
    }
    edges = {
        source: (melt_edge(others), run_edge(others))
        for source in {row.source for row in found}
        if (others := [row for row in found if row.source != source])
    }
    table: dict[str, dict[str, dict[str, int]]] = {}
    for name, chosen in groups.items():
        table[name] = {"melt": {}, "run": {}}
        for row in filter(chosen, found):
            melt, run = edges[row.source]
            for about, code in (("melt", melt_class(row, melt)), ("run", run_class(row, run))):
                table[name][about][code] = table[name][about].get(code, 0) + 1
    return table


def report(found: Sequence[Row]) -> str:
    """Return the page `fired_set.md`."""
    lines = [
        "# The readings on glazes of a source that was left out",
        "",
        "Written by `python -m tests.calibration.fired_set`. Every source is read by bands made from the other sources.",
        "",
        "| observed | n | melt | run |",
        "|---|---|---|---|",
    ]
    for name, codes in left_out(found).items():
        n = sum(codes["melt"].values())
        said = (
            ", ".join(f"{code} {count}" for code, count in sorted(codes[about].items())) for about in ("melt", "run")
        )
        lines.append(f"| {name} | {n} | {' | '.join(said)} |")
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    all_rows = rows()
    BANDS.write_text(text(all_rows), encoding="utf-8")
    REPORT.write_text(report(all_rows), encoding="utf-8")
    print(report(all_rows))
