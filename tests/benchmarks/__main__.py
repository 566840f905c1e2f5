"""How long it takes, as ratios: ``python -m tests.benchmarks``. Nothing here is asserted.

All on one thread and in one run: a ratio holds on another machine where a second does not. A geochemistry library, pyrolite, is a
second opinion on speed where it is installed (``pip install pyrolite``); nothing else needs it.
"""

# ruff: noqa: E402
from __future__ import annotations

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"  # before numpy is loaded

import platform
import resource
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable, Iterable
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd

import glazecalc as gc
from glazecalc.estimate.expansion import expansions
from glazecalc.estimate.glass_points import glass_transitions
from glazecalc.estimate.viscosity import viscosities

ROOT = Path(__file__).parents[2]
STUDIO = ROOT / "notebooks/studio"
BLACK = str(STUDIO / "recipes/harbour-black.txt")
OWN = ["--materials", str(STUDIO / "materials")]
VERBS: dict[str, list[str]] = {
    "check": ["check", BLACK, *OWN],
    "compare": ["compare", BLACK, str(STUDIO / "recipes/rill-clear.txt"), *OWN],
    "materials": ["materials"],
    "scale": ["scale", BLACK, "--base", "300g", *OWN],
    "slurry": ["slurry", "--sg-now", "1.5", "--volume", "10l", "--solids-density", "2.6", "--sg", "1.45"],
    "cone": ["cone", "6"],
    "nudge": ["nudge", BLACK, "alumina +0.02", *OWN],
    "substitute": ["substitute", BLACK, "--without", "talc", "--also", "dolomite", *OWN],
}


def least(call: Callable[[], object], runs: int = 5) -> float:
    """Return the least processor time of several runs [s]: what the work itself takes."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def row(what: str, seconds: float, against: float, of: str) -> None:
    """Print one line of the table."""
    print(f"  {what:58s}{seconds * 1e3:10.2f} ms {seconds / against:9.2f} x {of}")


def tables(count: int, columns: int = 40) -> None:
    """Time the tables against the bare product, a loop and pyrolite."""
    library = gc.load_materials()
    ids = [m.id for m in library.values() if m.analysis]
    rich = sorted(ids, key=lambda m: -len(library[m].analysis))[:columns]
    random = np.random.default_rng(1)
    parts = pd.DataFrame(random.uniform(0, 50, (count, columns)), columns=rich)
    matrix, amounts = gc.unity_matrix([library[m] for m in rich]), parts.to_numpy()

    def bare() -> np.ndarray:
        unity = amounts @ matrix.brought
        unity /= (amounts @ matrix.divisor)[:, None]
        return unity

    print(f"\n{count:,} recipes of {columns} materials to {len(matrix.oxides)} oxides")
    numpy = least(bare)
    row("numpy: product, division in place", numpy, numpy, "itself")
    row("unity_array", least(lambda: gc.unity_array(amounts, matrix)), numpy, "numpy")
    table = least(lambda: gc.unity_table(parts, library))
    row("unity_table", table, numpy, "numpy")
    row("fired_table", least(lambda: gc.fired_table(parts, library)), numpy, "numpy")
    estimates = least(lambda: gc.estimate_table(parts, library, cone="6"), 2)
    row("estimate_table, five properties with ends", estimates, numpy, "numpy")
    few = min(count, 300)
    recipes = [dict(zip(rich, line, strict=True)) for line in amounts[:few]]
    loop = least(lambda: [gc.unity_formula(recipe, library) for recipe in recipes], 2) * count / few
    row(f"a loop of unity_formula (from {few})", loop, table, "unity_table")
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    made = gc.unity_table(parts, library)
    peak = tracemalloc.get_traced_memory()[1] - before
    tracemalloc.stop()
    print(f"  memory at its peak {peak / made.to_numpy().nbytes:.2f} x the result")
    pyrolite(parts, library, rich, table)


def pyrolite(parts: pd.DataFrame, library: gc.MaterialLibrary, rich: list[str], table: float) -> None:
    """Time the same job, batch to mole per cent, by pyrolite, if it is here."""
    try:
        from pyrolite.geochem.transform import to_molecular
    except ImportError:
        print("  pyrolite is not installed: not compared")
        return
    oxides = [oxide for oxide in gc.mole_percent_table(parts.iloc[:1], library).columns if oxide != "KNaO"]
    analyses = np.array([[library[m].analysis.get(oxide, 0.0) for oxide in oxides] for m in rich]) / 100

    def theirs() -> object:
        return to_molecular(pd.DataFrame(parts.to_numpy() @ analyses, columns=oxides), renorm=True)

    took = least(theirs, 2)
    row("pyrolite: product, to_molecular", took, took, "itself")
    row("mole_percent_table", least(lambda: gc.mole_percent_table(parts, library)), took, "pyrolite")


def models(count: int) -> None:
    """Time the models on many compositions against a bare product with as many columns as they have terms."""
    mole_percent = np.random.default_rng(2).dirichlet(np.ones(len(gc.AXIS)), count) * 100
    terms = np.random.default_rng(3).normal(size=(len(gc.AXIS), 56))
    bare = least(lambda: mole_percent @ terms)
    print(f"\n{count:,} compositions")
    row("numpy: product with 56 terms", bare, bare, "itself")
    row("expansions", least(lambda: expansions(mole_percent)), bare, "numpy")
    row("viscosities", least(lambda: viscosities(mole_percent, 1222.0)), bare, "numpy")
    row("glass transitions", least(lambda: glass_transitions(mole_percent)), bare, "numpy")


def one() -> None:
    """Time what a person waits for: one recipe, a spread, a substitution."""
    library, black = gc.load_materials(STUDIO / "materials"), gc.read_recipe(BLACK)
    print("\none recipe of eight lines")
    formula = least(lambda: [gc.unity_formula(black, library) for _ in range(200)]) / 200
    row("unity_formula", formula, formula, "itself")
    row("check", least(lambda: gc.check(black, library)), formula, "unity_formula")
    for samples in (10_000, 100_000):
        row(f"spread of {samples:,} samples", least(lambda n=samples: gc.spread(black, library, samples=n), 2), formula, "unity_formula")  # fmt: skip
    swap = least(lambda: gc.substitute(black, library, without="talc", also="dolomite"), 2)
    row("substitute, one material at hand", swap, formula, "unity_formula")
    whole = least(lambda: gc.substitute(black, library, without="potash feldspar"), 1)
    row("substitute, the whole library, five answers", whole, formula, "unity_formula")


def cold_starts(runs: int = 7) -> None:
    """Time each verb as a process of its own against ``import numpy``."""
    bare = median(_child([sys.executable, "-c", "import numpy"]) for _ in range(runs))
    print("\ncold starts, processor time of the whole process")
    row("python -c 'import numpy'", bare, bare, "itself")
    for verb, words in VERBS.items():
        row(
            verb, median(_child([sys.executable, "-m", "glazecalc", *words]) for _ in range(runs)), bare, "import numpy"
        )


def _child(words: Iterable[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(list(words), check=True, capture_output=True, cwd=ROOT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the table."""
    print(
        f"{time.strftime('%Y-%m-%d')}, {platform.machine()}, Python {platform.python_version()}, numpy {np.__version__}; one thread"
    )
    for count in (100_000, 1_000_000):
        tables(count)
    tables(100_000, columns=10)
    models(1_000_000)
    one()
    cold_starts()
    print(f"\nmemory of this process at its peak {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    main()
