"""A verb called from within finds what the command prints, and prints nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from glazecalc.cli.collect import collected
from glazecalc.errors import GlazeError
from glazecalc.show import pages
from glazecalc.show.notices import with_notices
from tests.cli.run import run
from tests.cli.test_odd_words import CALLS


@pytest.mark.parametrize("verb", ["check", "compare", "materials", "scale", "slurry", "size", "cone", "blend", "lab"])
def test_it_finds_what_the_command_prints(verb: str, capsys: pytest.CaptureFixture[str]):
    words = (*CALLS[verb][1], "--", *CALLS[verb][0])
    found = collected(verb, *words)
    assert capsys.readouterr() == ("", "")
    assert with_notices(pages.body(found.value, **found.options), found.notices) + "\n" == run(capsys, verb, *words).out


def test_nothing_is_written(tmp_path: Path):
    place = tmp_path / "page.csv"
    found = collected("blend", f"--csv={place}", "--", *CALLS["blend"][0])
    assert [name for name, _ in found.writes] == [str(place)]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("verb", "words", "said"),
    [
        ("check", ("--", "--help"), "there is no such file"),
        ("check", ("--cone=x", "--", "x"), "cone"),
        ("check", ("--nothing",), "No such option"),
        ("check", ("--help",), "help"),
        ("open", ("."), "not a command"),
        ("nothing", (), "not a command"),
    ],
)
def test_what_the_command_line_would_say_is_an_error(verb: str, words: tuple[str, ...], said: str):
    with pytest.raises(GlazeError) as caught:
        collected(verb, *words)
    assert said in str(caught.value)
    assert "Usage" not in str(caught.value)
