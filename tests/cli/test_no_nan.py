"""No NaN on a page: every bundled material alone and small random batches, through all that reckons with them, as text and JSON."""

from __future__ import annotations

import json
import math
import random
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import glazecalc as gc
from glazecalc.cli.call import Output, reply
from glazecalc.errors import GlazeError
from glazecalc.estimate.all_models import on_arrays
from glazecalc.estimate.spread import Sampling, spread_of_batch
from glazecalc.show import pages
from tests.cli.run import run

NO_NUMBER = re.compile(r"(?<![a-z])(nan|inf)(?![a-z])", re.IGNORECASE)
WISHES = ("ratio kept, expansion to 20", "alumina to 0", "softening 20 lower", "silica +0.2, expansion down 0.3")
SIX = random.Random(10)


def small_batches(count: int) -> list[dict[str, float]]:
    names = sorted(gc.load_materials())
    sizes = (SIX.randint(1, 4) for _ in range(count))
    return [{name: SIX.choice((0.01, 1.0, 20.0, 60.0)) for name in SIX.sample(names, size)} for size in sizes]


ALONE = [{name: 100.0} for name in sorted(gc.load_materials())]
BATCHES = [*ALONE, *small_batches(100)]


def assert_plain(text: str, value: dict[str, Any], what: object) -> None:
    assert not NO_NUMBER.search(text), (what, NO_NUMBER.search(text))
    json.dumps(value, allow_nan=False)


def asked(ask: Callable[[], Any]) -> tuple[Any, str]:
    """Return the value, or None and the reason that it is refused with."""
    try:
        return ask(), ""
    except GlazeError as error:
        return None, str(error)


def assert_shown(ask: Callable[[], Any], what: object) -> Any:
    """Ask for a value: it shows itself without NaN, or the reason of its refusal holds none."""
    found, reason = asked(ask)
    assert_plain(reason or str(found), {} if found is None else found.to_dict(), what)
    return found


def test_check(library: gc.MaterialLibrary) -> None:
    for batch in BATCHES:
        assert_shown(lambda batch=batch: gc.check(batch, library, cone="6"), batch)


def test_spread(library: gc.MaterialLibrary) -> None:
    for batch in BATCHES[::4]:
        report, _ = asked(lambda batch=batch: gc.check(batch, library, cone="6"))
        if report is None:
            continue
        functions = {e.name: function for e in report.estimates if (function := on_arrays(e)) is not None}
        for step_g in (0.0, SIX.choice((1.0, 100.0, 1000.0))):
            how = Sampling(samples=1000, step_g=step_g, batch_mass_g=300.0)
            drawn, reason = asked(lambda r=report, h=how, f=functions: spread_of_batch(r.batch, h, estimates=f))
            if drawn is None:
                assert "nothing is left of the batch" in reason
            else:
                assert_plain(pages.page(report, spread=drawn, full=True), drawn.to_dict(), batch)


@pytest.mark.parametrize("names", [["unity-on-alumina"], ["iron-as-feo", "colourants-as-flux"], ["boron-with-alumina"]])
def test_check_by_every_convention(library: gc.MaterialLibrary, names: list[str]) -> None:
    convention = gc.Convention.from_names(names)  # type: ignore[arg-type]
    for batch in BATCHES[::3]:
        assert_shown(lambda batch=batch: gc.check(batch, library, convention=convention), batch)


def test_compare_and_blend(library: gc.MaterialLibrary) -> None:
    for first, second in pairwise(BATCHES[::5]):
        assert_shown(lambda a=first, b=second: gc.compare(a, b, library), (first, second))
        assert_shown(lambda a=first, b=second: gc.blend([a, b], library, side=3), (first, second))


def test_nudge(library: gc.MaterialLibrary) -> None:
    for i, batch in enumerate(BATCHES[::2]):
        wish = WISHES[i % len(WISHES)]
        model = ("fitted", "appen")[i // len(WISHES) % 2]
        assert_shown(lambda b=batch, w=wish, m=model: gc.nudge(b, library, w, model=m), (batch, wish, model))


def test_a_wish_without_a_number_at_the_end_is_told(library: gc.MaterialLibrary) -> None:
    found = gc.nudge({"whiting": 20, "kaolin": 20, "silica": 60}, library, ["ratio kept", "kaolin to 0"])
    (ratio, _) = found.wishes
    assert (ratio.reached, ratio.met) == (None, False)
    assert found.to_dict()["wishes"][0]["reached"] is None
    assert "none  not met" in str(found)
    assert any("has no value for it" in notice.message for notice in found.notices)


@pytest.mark.parametrize(
    "words",
    [
        ("check", "{lead}"),
        ("check", "{chrome}"),
        ("check", "{lead}", "--spread", "--full"),
        ("compare", "{lead}", "{chrome}"),
        ("blend", "{lead}", "{chrome}"),
        ("nudge", "{black}", "alumina to 0"),
        ("nudge", "{black}", "ratio kept", "expansion to 20"),
        ("check", "{black}", "--spread", "--step", "1kg", "--batch-mass", "300g"),
        ("check", "{black}", "--spread", "--step", "150g", "--batch-mass", "300g"),
    ],
)
def test_the_command_line(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, studio: Path, words: tuple[str, ...]
) -> None:
    files = {
        "black": studio / "recipes/harbour-black.txt",
        "lead": tmp_path / "lead.txt",
        "chrome": tmp_path / "chrome.txt",
    }
    files["lead"].write_text("litharge 100\n", encoding="utf-8")
    files["chrome"].write_text("chromium oxide 100\n", encoding="utf-8")
    call = [word.format(**files) for word in words] + ["--materials", str(studio / "materials")]
    page, as_json = run(capsys, *call), run(capsys, *call, "--json")
    assert page.code == as_json.code
    if page.code:
        assert page.code == 1
        assert "nothing is left of the batch in" in page.err
        assert page.out == as_json.out == ""
    else:
        assert not NO_NUMBER.search(page.out + page.err + as_json.out)
        assert as_json.json


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_nothing_that_is_no_number_is_printed_as_json(capsys: pytest.CaptureFixture[str], number: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        reply({"value": [1.0, number]}, output=Output(as_json=True, html_file=None, replace=False))
    assert capsys.readouterr().out == ""
