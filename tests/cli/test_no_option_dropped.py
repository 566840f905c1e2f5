"""No option is dropped in silence: beside a call to which it says nothing it is refused (exit 2)."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import run
from tests.cli.test_odd_words import CALLS


def call(verb: str, words: str) -> tuple[str, ...]:
    """A right call of a command, and words behind it; none of them has a space inside."""
    arguments, options = CALLS[verb]
    return (verb, *arguments, *options, *words.split())


@pytest.mark.parametrize(
    ("verb", "words", "said"),
    [
        ("check", "--spread --step -1g --batch-mass 300g", "more than zero"),
        ("check", "--spread --step 0g", "more than zero"),
        ("check", "--step 0g", "more than zero"),
        ("check", "--spread --step 1g --batch-mass -300g", "more than zero"),
        ("check", "--spread --moisture -3%", "zero or more"),
        ("check", "--spread --moisture 5000%", "0 to 100 %"),
        ("check", "--moisture 0%", "--spread"),
        ("check", "--spread --batch-mass 300g", "--step"),
        ("check", "--set-point 520C", "--glaze-expansion"),
        ("check", "--firings x.csv", "--body"),
        ("check", "--tests --working", "a page of its own"),
        ("check", "--tests --full", "a page of its own"),
        ("check", "--tests --spread", "a page of its own"),
        ("check", "--working --full --spread --tests", "a page of its own"),
        ("check", "--working --json", "--json"),
        ("scale", "--sg 1.5 --spare 10%", "--pieces"),
        ("scale", "--solids-density 2.6", "--sg"),
        ("scale", "--bucket 10l", "--sg"),
        ("scale", "--gum -1%", "zero or more"),
        ("scale", "--unit kg --json", "--sheet"),
        ("scale", "--mesh 80 --json", "--sheet"),
        ("cost", "--bucket 10l", "--sg"),
        ("slurry", "--sample-error 1ml1g", "--sample"),
        ("slurry", "--bucket 10l", "--sg"),
        ("slurry", "--materials .", "RECIPE"),
        ("size", "--bar-error 1", "a bar"),
        ("size", "--clay-law shape", "--clay-mass"),
        ("nudge", "--model appen", "expansion"),
        ("blend", "--solids-density 2.6", "--sg"),
        ("blend", "--replace", "--csv"),
        ("match", "--batch-mass 1kg", "--stock"),
        ("substitute", "--batch-mass 1kg", "--stock"),
    ],
)
def test_what_would_say_nothing_is_refused(verb: str, words: str, said: str, capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, *call(verb, words))
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_a_size_without_a_length_takes_no_tolerance(capsys: pytest.CaptureFixture[str]):
    assert run(capsys, "size", "--wet", "100", "--fired", "88", "--tolerance", "3mm").code == 2
    assert run(capsys, "size", "--wet", "100", "--fired", "88", "--want", "9in", "--bar-error", "1").code == 0


def test_json_says_all_that_was_asked(capsys: pytest.CaptureFixture[str], studio: Path):
    body = str(studio / "body-slate.yaml")
    both = run(capsys, *call("check", f"--json --tests --spread 1000 --full --body {body}")).json
    assert {"tests", "spread", "body"} <= set(both)
    gum = run(capsys, *call("scale", "--json --gum 1% --gum-solution 30")).json
    assert gum["gum_solution"]["g_per_l"] == 30


@pytest.mark.parametrize("verb", sorted(set(CALLS) - {"calibrate"}))  # which has no lines
def test_addition_stands_in_all_json(verb: str, capsys: pytest.CaptureFixture[str]):
    def found(value: object) -> list[dict[str, object]]:
        if isinstance(value, dict):
            return [value, *(one for item in value.values() for one in found(item))]
        return [one for item in value for one in found(item)] if isinstance(value, list) else []

    for one in found(run(capsys, *call(verb, "--json")).json):
        if "role" in one:
            assert one["addition"] is (one["role"] == "addition")
