"""An ordinary job over 5000 recipes, by public names alone: ``python -m tests.benchmarks.ordinary_job``. Nothing here is asserted.

Read them from a spreadsheet's CSV, work out unity formulas, weights per cent, expansions with their ends, viscosities and cautions, group,
draw. Each step is timed by the clock and by the processor.
"""

from __future__ import annotations

import tempfile
import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pandas as pd

import glazecalc as gc

COUNT = 5000
COLUMNS = (
    "Potash feldspar", "Soda feldspar", "Nepheline syenite", "Whiting", "Dolomite", "Talc", "Zinc oxide", "Kaolin", "Silica",
    "Wollastonite", "+ Red iron oxide", "+ Tin oxide",
)  # fmt: skip


def book(path: Path) -> None:
    """Write a book of invented recipes as a spreadsheet saves it."""
    random = np.random.default_rng(1)
    shares = random.dirichlet(np.ones(10), COUNT) * 100
    shares[random.random(shares.shape) < 0.4] = 0
    shares[:, 0] += 5
    tops = random.uniform(0, 9, (COUNT, 2)) * (random.random((COUNT, 2)) < 0.5)
    frame = pd.DataFrame(np.hstack([shares, tops]).round(1), columns=list(COLUMNS))
    frame.insert(0, "name", [f"Glaze {number}" for number in range(COUNT)])
    frame.insert(1, "cone", random.choice(["04", "6", "10"], COUNT))
    frame.to_csv(path, index=False)


@contextmanager
def timed(what: str) -> Iterator[None]:
    """Print how long a step took, by the clock and by the processor."""
    clock, processor = time.perf_counter(), time.process_time()
    yield
    print(f"  {what:50s}{time.perf_counter() - clock:7.2f} s {time.process_time() - processor:7.2f} s of processor")


def job(path: Path, picture: Path) -> None:
    """Do the job, as a user would write it."""
    materials = gc.load_materials()
    with timed("read_recipes"):
        found = gc.read_recipes(path, materials)
    with timed("unity, weight per cent, estimates with ends"):
        cards, parts = found.to_frame(), found.parts()
        unity = gc.unity_table(parts, materials)
        fired = gc.fired_table(parts, materials)
        estimates = gc.estimate_table(parts, materials, temperature_c=1222)
    with timed("joined and grouped by cone"):
        table = cards.join([unity, estimates[["expansion", "expansion low", "expansion high", "viscosity"]]])
        table["iron, wt %"] = fired["Fe2O3"]
        by_cone = table.groupby("cone")[["SiO2", "Al2O3", "expansion", "viscosity"]].agg(["mean", "std"])
    with timed("drawn"):
        axes = table.plot.scatter("Al2O3", "SiO2", c="expansion", s=4)
        axes.figure.savefig(picture)
    print(by_cone.round(2).to_string())
    with timed("caution_table, beside the job"):
        cautions = gc.caution_table(parts, materials, cone="6", use="cup")
    print(cautions.notna().sum().sort_values(ascending=False).head(5).to_string())


def main() -> None:
    """Time the job once; the libraries that every such script loads are loaded before."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot

    warnings.simplefilter("ignore", gc.GlazeWarning)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "book.csv")
        book(path)
        print(f"{COUNT:,} recipes of {len(COLUMNS)} materials")
        with timed("the whole job, with the cautions"):
            job(path, Path(folder, "book.png"))


if __name__ == "__main__":
    main()
