"""How long it takes, as ratios: ``python -m tests.benchmarks``. Nothing here is asserted.

All on one thread and in one run, as processor time, the least of several: a ratio holds on another machine where a second does not.
A geochemistry library, pyrolite, is a second opinion on speed where it is installed (``pip install pyrolite``); nothing else needs it.
"""

# ruff: noqa: E402
from __future__ import annotations

import os

THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
for name in THREADS:
    os.environ[name] = "1"  # before numpy is loaded

import platform
import resource
import subprocess
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
import pandas as pd

import glazecalc as gc
from glazecalc.estimate.expansion import expansions
from glazecalc.estimate.glass_points import glass_transitions
from glazecalc.estimate.viscosity import viscosities

ROOT = Path(__file__).parents[2]
STUDIO = ROOT / "notebooks/studio"
BLACK, CLEAR = str(STUDIO / "recipes/harbour-black.txt"), str(STUDIO / "recipes/rill-clear.txt")
OWN = ["--materials", str(STUDIO / "materials")]
VERBS: dict[str, list[str]] = {  # each as it is called; {work} is a folder with what a call reads
    "check": ["check", BLACK, *OWN],
    "compare": ["compare", BLACK, CLEAR, *OWN],
    "materials": ["materials"],
    "scale": ["scale", BLACK, "--base", "300g", *OWN],
    "slurry": ["slurry", "--sg-now", "1.5", "--volume", "10l", "--solids-density", "2.6", "--sg", "1.45"],
    "mend": ["mend", BLACK, "--weighed", "{work}/bucket.txt", *OWN],
    "cost": ["cost", BLACK, "--prices", str(STUDIO / "prices.csv"), "--all-in", "5kg", *OWN],
    "size": ["size", "--wet", "100", "--dry", "93.5", "--fired", "87.6", "--want", "9in"],
    "cone": ["cone", "6"],
    "lab": ["lab", "{work}/results.csv", "--ware", "plate", "--depth", "18mm", "--area", "2.8dm2", "--volume", "0.4l"],
    "calibrate": ["calibrate", str(STUDIO / "firings.csv"), "--body-name", "Osier Fold stoneware", *OWN],
    "blend": ["blend", CLEAR, BLACK, "--side", "5", "--tile", "100g", *OWN],
    "nudge": ["nudge", BLACK, "alumina +0.02", *OWN],
    "match": ["match", CLEAR, "--without", "talc", *OWN],
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


def row(what: str, seconds: float, against: float, of: str, memory: str = "") -> None:
    """Print one line of the table."""
    print(f"  {what:46s}{seconds * 1e3:10.2f} ms {seconds / against:9.2f} x {of:14s}{memory}".rstrip())


def peak(call: Callable[[], object], *, of: float = 0.0) -> str:
    """Return the memory that a call takes at its peak, what it returns included: as a multiple `of` bytes, or in MB."""
    tracemalloc.start()
    try:
        before = tracemalloc.get_traced_memory()[0]
        made = call()
        most = tracemalloc.get_traced_memory()[1] - before
    finally:
        tracemalloc.stop()
    del made
    return f"{most / of:.2f} x the result" if of else f"{most / 1e6:.0f} MB"


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

    print(f"\n{count:,} recipes of {columns} materials to {len(matrix.oxides)} oxides; memory at its peak")
    numpy, size = least(bare), 8.0 * count * len(matrix.oxides)
    row("numpy: product, division in place", numpy, numpy, "itself", peak(bare, of=size))
    array = lambda: gc.unity_array(amounts, matrix)  # noqa: E731
    row("unity_array", least(array), numpy, "numpy", peak(array, of=size))
    table = least(lambda: gc.unity_table(parts, library))
    row("unity_table", table, numpy, "numpy", peak(lambda: gc.unity_table(parts, library), of=size))
    row("fired_table", least(lambda: gc.fired_table(parts, library)), numpy, "numpy")
    row("mole_percent_table", least(lambda: gc.mole_percent_table(parts, library)), numpy, "numpy")
    estimated = lambda: gc.estimate_table(parts, library, cone="6")  # noqa: E731
    row("estimate_table, five properties with ends", least(estimated, 2), numpy, "numpy", peak(estimated, of=8.0 * count * 15 + 5 * count))  # fmt: skip
    few = min(count, 300)
    recipes = [dict(zip(rich, line, strict=True)) for line in amounts[:few]]
    loop = least(lambda: [gc.unity_formula(recipe, library) for recipe in recipes], 2) * count / few
    row(f"a loop of unity_formula (from {few})", loop, table, "unity_table")
    pyrolite(parts, library, rich, numpy)


def pyrolite(parts: pd.DataFrame, library: gc.MaterialLibrary, rich: list[str], numpy: float) -> None:
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
    row("pyrolite: product, to_molecular", took, numpy, "numpy", peak(theirs, of=8.0 * len(parts) * len(oxides)))
    row("mole_percent_table", least(lambda: gc.mole_percent_table(parts, library)), took, "pyrolite")


def growth() -> None:
    """Print what one recipe of a table costs, for tables of several lengths and widths."""
    library = gc.load_materials()
    rich = sorted((m.id for m in library.values() if m.analysis), key=lambda m: (-len(library[m].analysis), m))
    random, widths = np.random.default_rng(1), (10, 20, 40)
    print("\nunity_table, microseconds a recipe:" + "".join(f"{width:6d} materials" for width in widths))
    for count in (1_000, 10_000, 100_000, 1_000_000):
        costs = []
        for width in widths:
            parts = pd.DataFrame(random.uniform(0, 50, (count, width)), columns=rich[:width])
            costs.append(least(lambda p=parts: gc.unity_table(p, library), 3) / count * 1e6)
        print(f"  {count:>12,} recipes{'':21s}" + "".join(f"{cost:16.3f}" for cost in costs))


def models(count: int) -> None:
    """Time the models on many compositions against a bare product with as many columns as they have terms."""
    mole_percent = np.random.default_rng(2).dirichlet(np.ones(len(gc.AXIS)), count) * 100
    terms = np.random.default_rng(3).normal(size=(len(gc.AXIS), 56))
    bare = least(lambda: mole_percent @ terms)
    print(f"\n{count:,} compositions")
    row("numpy: product with 56 terms", bare, bare, "itself")
    for name, call in {
        "expansions": lambda: expansions(mole_percent),
        "viscosities": lambda: viscosities(mole_percent, 1222.0),
        "glass transitions": lambda: glass_transitions(mole_percent),
    }.items():
        row(name, least(call), bare, "numpy", peak(call))


def one() -> None:
    """Time what a person waits for: one recipe, a spread, a substitution."""
    library, black = gc.load_materials(STUDIO / "materials"), gc.read_recipe(BLACK)
    print("\none recipe of eight lines")
    formula = least(lambda: [gc.unity_formula(black, library) for _ in range(200)]) / 200
    row("unity_formula", formula, formula, "itself")
    row("check", least(lambda: gc.check(black, library)), formula, "unity_formula")
    for samples in (10_000, 100_000, 1_000_000):
        spread = lambda n=samples: gc.spread(black, library, samples=n)  # noqa: E731
        row(f"spread of {samples:,} samples", least(spread, 2), formula, "unity_formula", peak(spread))
    swap = least(lambda: gc.substitute(black, library, without="talc", also="dolomite"), 2)
    row("substitute, one material at hand", swap, formula, "unity_formula")
    whole = least(lambda: gc.substitute(black, library, without="potash feldspar"), 1)
    row("substitute, the whole library, five answers", whole, formula, "unity_formula")


def cold_starts(runs: int = 9) -> None:
    """Time each verb as a process of its own against ``import numpy``, both with their modules compiled as an installation has them."""
    print("\ncold starts, processor time of the whole process")
    with tempfile.TemporaryDirectory() as work:
        (Path(work) / "bucket.txt").write_text(
            Path(BLACK).read_text(encoding="utf-8").replace("22", "32"), encoding="utf-8"
        )
        (Path(work) / "results.csv").write_text(
            "element,value,unit\nPb,0.03,mg/dm2\nCd,<0.005,mg/dm2\n", encoding="utf-8"
        )
        not_here = ("PYTHONDONTWRITEBYTECODE", *THREADS)  # a person's call is not held to one
        settings = {key: value for key, value in os.environ.items() if key not in not_here}
        settings["PYTHONPYCACHEPREFIX"] = f"{work}/compiled"

        def took(words: list[str]) -> float:
            _child(words, settings)  # compiles
            return min(_child(words, settings) for _ in range(runs))

        bare = took([sys.executable, "-c", "import numpy"])
        row("python -c 'import numpy'", bare, bare, "itself")
        for verb, words in VERBS.items():
            call = [word.format(work=work) for word in words]
            row(verb, took([sys.executable, "-m", "glazecalc", *call]), bare, "import numpy")


def _child(words: Iterable[str], settings: dict[str, str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(list(words), check=True, capture_output=True, cwd=ROOT, env=settings)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the table."""
    print(
        f"{time.strftime('%Y-%m-%d')}, {platform.machine()}, Python {platform.python_version()}, numpy {np.__version__}; one thread"
    )
    for count in (100_000, 1_000_000):
        tables(count)
    growth()
    models(1_000_000)
    one()
    cold_starts()
    print(f"\nmemory of this process at its peak {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    main()
