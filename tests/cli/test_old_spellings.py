"""An option that got a plainer name is still read by its old one, which no help text shows."""

from __future__ import annotations

import click
import pytest

from glazecalc.cli.options import Renamed
from glazecalc.cli.verbs import VERBS
from glazecalc.cli.verbs import command_of as command
from tests.cli.run import run

RENAMED = {
    ("check", "--batch"): "--batch-mass",
    ("scale", "--batch"): "--batch-no",
    ("slurry", "--gravity-now"): "--sg-now",
    ("blend", "--gravity"): "--sg",
    ("blend", "--density"): "--solids-density",
    ("size", "--clay"): "--clay-mass",
    ("substitute", "--clay"): "--raw-clay",
    ("match", "--clay"): "--raw-clay",
    ("substitute", "--step"): "--parts-step",
    ("match", "--step"): "--parts-step",
    ("calibrate", "--body"): "--body-name",
}


def test_the_list_is_whole():
    found = {(verb, p.was): p.opts[0] for verb in VERBS for p in command(verb).params if isinstance(p, Renamed)}
    assert found == RENAMED


@pytest.mark.parametrize(("verb", "old"), RENAMED)
def test_help_shows_the_new_name_alone(verb: str, old: str):
    text = command(verb).get_help(click.Context(command(verb)))
    assert f"  {RENAMED[verb, old]} " in text
    assert f"{old} " not in text.replace(RENAMED[verb, old], "")


def test_the_old_name_gives_the_same_answer(capsys: pytest.CaptureFixture[str]):
    words = ("size", "--shrinkage", "12%", "--want", "11in", "--clay-size", "9in")
    assert run(capsys, *words, "--clay", "2lb").out == run(capsys, *words, "--clay-mass", "2lb").out != ""


def test_a_fault_names_the_new_name(capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "size", "--clay", "heavy")
    assert ran.code == 2
    assert "'--clay-mass'" in ran.err
