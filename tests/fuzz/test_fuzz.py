"""Broken inputs: a value or a `GlazeError` comes out, whatever goes in. A hundred thousand: ``python -m tests.fuzz --cases 100000``."""

from __future__ import annotations

from pathlib import Path

import pytest

import glazecalc as gc
from tests.fuzz.cases import CORPUS, Case, case, run_case

SEED, CASES, BATCHES = 1, 2000, 8


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_broken_input_gives_a_value_or_an_error_told_in_words(batch: int, tmp_path: Path):
    found = []
    for number in range(batch, CASES, BATCHES):
        one = case(SEED, number)
        found += [f"case {number} of seed {SEED}: {finding}" for finding in run_case(one, tmp_path)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("path", sorted(CORPUS.glob("*/*.*")), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_the_corpus_itself_is_sound(path: Path):
    read = {
        "recipe": gc.read_recipe,
        "body": gc.read_body,
        "material": gc.read_material,
        "shelf": lambda path: gc.read_shelf(path, gc.load_materials("notebooks/studio/materials")),
        "firings": gc.read_firings,
        "release": gc.read_release_results,
        "target": gc.read_target,
        "text": lambda path: path.read_text(encoding="utf-8"),
    }
    assert read[path.parent.name](path)


def test_a_case_can_be_run_again():
    assert [case(SEED, number) for number in range(50)] == [case(SEED, number) for number in range(50)]
    assert case(SEED, 3) != case(SEED + 1, 3)


def test_what_must_not_be_is_found(tmp_path: Path):
    """The judge itself: a door that falls over, and a call that has no such file (which is fine)."""
    broken = Case(door="no such door", files={}, words=("1",))
    assert ["KeyError" in finding.said for finding in run_case(broken, tmp_path)] == [True]
    assert not list(run_case(Case(door="call", files={}, words=("check", "none.txt")), tmp_path))
    assert [finding.said for finding in run_case(Case(door="percent", files={}, words=("5%",)), tmp_path, most_s=-1)]
