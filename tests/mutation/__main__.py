"""Break the code a little and see whether a test fails: ``python -m tests.mutation --sample 300 --seed 1``.

The tree is copied to a temporary folder and broken there, one break at a time. A break is killed when a test of the room's fitting folders
fails (or hangs); one that no test sees is a survivor, and belongs into README.md beside this file: killed by a new test, or explained.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.mutation.breaks import Break, breaks

TOP = Path(__file__).parent.parent.parent
_COPIED = ("glazecalc", "materials", "tests", "notebooks", "pyproject.toml", "README.md")
_PAGES = ["tests/snapshots", "tests/test_studio_values.py"]
# room -> the folders whose tests speak about it, the quickest first
FITTING = {
    "convert": ["tests/convert", *_PAGES, "tests/published/test_seger_batches.py", "tests/test_comparison.py"],
    "caution": ["tests/caution", "tests/lab", "tests/cli/test_cautions_travel.py", *_PAGES],
    "workshop": [
        "tests/workshop",
        *(f"tests/cli/test_{verb}.py" for verb in ("scale", "slurry", "mend", "cost", "size", "cone")),
    ],
}
_HANGS_AFTER_S = 60


class _Quick:
    """A plugin: a failing example of hypothesis is enough, it need not be the smallest one."""

    def pytest_configure(self) -> None:
        from hypothesis import HealthCheck, Phase, settings

        phases, checks = (Phase.explicit, Phase.generate), list(HealthCheck)
        settings.register_profile(
            "mutation", derandomize=True, deadline=None, phases=phases, suppress_health_check=checks
        )
        settings.load_profile("mutation")


def _tests_fail(tree: Path, folders: Sequence[str], *, keep_bytecode: bool = False) -> bool:
    """Run tests in a fork of this process, which has the heavy imports already; one that hangs has failed."""
    child = os.fork()
    if child == 0:
        signal.setitimer(signal.ITIMER_PROF, _HANGS_AFTER_S)  # of processor time: a busy machine kills nothing
        sink = os.open(os.devnull, os.O_WRONLY)
        os.dup2(sink, 1)
        os.dup2(sink, 2)
        os.chdir(tree)
        sys.dont_write_bytecode = not keep_bytecode
        for name in [name for name in sys.modules if name == "tests" or name.startswith(("tests.", "glazecalc"))]:
            del sys.modules[name]
        sys.path[:] = [str(tree), *(entry for entry in sys.path if entry not in ("", str(TOP)))]
        import pytest

        code = 3
        try:
            early = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]  # hypothesis is there before pytest
            code = int(pytest.main(["-q", "-x", "--tb=no", *early, *folders], plugins=[_Quick()]))
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    return status != 0


def _copy() -> Path:
    tree = Path(tempfile.mkdtemp(prefix="mutation-"))
    for name in _COPIED:
        here = TOP / name
        ignored = shutil.ignore_patterns("__pycache__", ".*")
        shutil.copytree(here, tree / name, ignore=ignored) if here.is_dir() else shutil.copy(here, tree / name)
    return tree


def _found(rooms: Sequence[str]) -> Iterator[tuple[str, str, Break]]:
    for room in rooms:
        for path in sorted((TOP / "glazecalc" / room).glob("*.py")):
            for one in breaks(path.read_text(encoding="utf-8")):
                yield room, str(path.relative_to(TOP)), one


def _run(sample: Sequence[tuple[str, str, Break]], until: float) -> tuple[list[tuple[str, str, Break]], int]:
    """Return the survivors of `sample`, and how many were run before the time was up."""
    for heavy in (
        "hypothesis",
        "numpy",
        "pandas",
        "periodictable",
        "pytest",
        "yaml",
        "click",
        "highspy",
        "_pytest.assertion.rewrite",
    ):
        __import__(heavy)  # fmt: skip
    tree, left, ran = _copy(), [], 0
    try:
        for room in sorted({room for room, _, _ in sample}):
            if _tests_fail(tree, FITTING[room], keep_bytecode=True):
                raise SystemExit(f"the tests of {room}/ fail before anything is broken.")
        for room, name, one in sample:
            if time.monotonic() > until:
                break
            file, whole = tree / name, (tree / name).read_bytes()
            file.write_text(one.module, encoding="utf-8")
            os.utime(file, (ran + 1, ran + 1))  # no bytecode of another state fits
            ran += 1
            if not _tests_fail(tree, FITTING[room]):
                left.append((room, name, one))
                print(f"survives: {name}:{one.line}\n    {one.before}\n    {one.after}", flush=True)
            file.write_bytes(whole)
    finally:
        shutil.rmtree(tree, ignore_errors=True)
    return left, ran


def main() -> int:
    """Run a sample of all breaks; exit 1 where one survives."""
    options = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    options.add_argument("--rooms", nargs="+", choices=tuple(FITTING), default=list(FITTING))
    options.add_argument("--sample", type=int, default=300, help="so many breaks, drawn by --seed; 0 for all")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--jobs", type=int, default=1, help="processes")
    options.add_argument("--minutes", type=float, default=1e6, help="stop after so long, and say how many were run")
    asked = options.parse_args()
    known = list(_found(asked.rooms))
    drawn = random.Random(asked.seed).sample(known, min(asked.sample, len(known))) if asked.sample else known
    until = time.monotonic() + 60 * asked.minutes
    if asked.jobs == 1:
        results = [_run(drawn, until)]
    else:
        with ProcessPoolExecutor(asked.jobs) as pool:
            results = list(pool.map(_run, [drawn[i :: asked.jobs] for i in range(asked.jobs)], [until] * asked.jobs))
    left, ran = sum(len(survivors) for survivors, _ in results), sum(count for _, count in results)
    print(f"{ran} of {len(known)} breaks run (seed {asked.seed}): {ran - left} killed, {left} survive")
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
