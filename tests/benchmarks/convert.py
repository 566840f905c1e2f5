"""How long the conversion takes: ``python tests/benchmarks/convert.py``. Nothing here is asserted."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import numpy as np

import glazecalc as gc
from glazecalc.convert.tables import unity_chunks

ROOT = Path(__file__).parents[2]
RECIPE = str(ROOT / "notebooks/studio/recipes/harbour-black.txt")
MATERIALS = str(ROOT / "notebooks/studio/materials")


def seconds(words: list[str], runs: int = 9) -> float:
    """Return the median wall time of a command."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(words, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return median(times)


def main() -> None:
    """Print the figures."""
    numpy = seconds([sys.executable, "-c", "import numpy"])
    check = seconds([sys.executable, "-m", "glazecalc", "check", RECIPE, "--materials", MATERIALS])
    print(f"import numpy {numpy:.3f} s, check {check:.3f} s, ratio {check / numpy:.1f}")
    library = gc.load_materials()
    materials = list(library.values())[:40]
    parts = np.random.default_rng(1).uniform(0, 50, (1_000_000, len(materials)))
    start = time.perf_counter()
    rows = sum(len(chunk) for chunk in unity_chunks(parts, materials))
    print(f"{rows} recipes of {len(materials)} materials to unity: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
