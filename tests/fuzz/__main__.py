"""Run many cases: ``python -m tests.fuzz --cases 100000 --seed 7``; ``--case N`` runs one of them again and shows it."""

from __future__ import annotations

import argparse
import gc as garbage
import resource
import sys
import tempfile
import time
from pathlib import Path

from tests.fuzz.cases import case, run_case

_MOST_SECONDS, _MOST_MB = 1.0, 200


def main() -> int:
    """Run the cases; exit 1 with the findings, their numbers first."""
    options = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    options.add_argument("--cases", type=int, default=2000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--case", type=int, help="only the case of this number")
    asked = options.parse_args()
    numbers = range(asked.cases) if asked.case is None else [asked.case]
    found, start, heaviest = 0, time.monotonic(), _peak_mb()
    with tempfile.TemporaryDirectory() as folder:
        for number in numbers:
            one = case(asked.seed, number)
            if asked.case is not None:
                print(one)
            for finding in run_case(one, Path(folder), most_s=_MOST_SECONDS):
                found += 1
                print(f"case {number} of seed {asked.seed}: {finding}", flush=True)
            if (peak := _peak_mb()) > max(heaviest, _MOST_MB):
                found += 1
                print(f"case {number} of seed {asked.seed}: {peak:.0f} MB at the most\n  {one}", flush=True)
            heaviest = max(heaviest, peak)
            for name in one.files:
                (Path(folder) / name).unlink(missing_ok=True)
            if number % 500 == 499:
                garbage.collect()
    took = time.monotonic() - start
    print(f"{len(numbers)} cases of seed {asked.seed}: {found} findings, {took:.0f} s, {heaviest:.0f} MB at the most")
    return 1 if found else 0


def _peak_mb() -> float:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / 1e6 if sys.platform == "darwin" else peak / 1e3


if __name__ == "__main__":
    sys.exit(main())
