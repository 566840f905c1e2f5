"""The caution value: its steps, its order, its JSON."""

import json

import pytest

from glazecalc.caution.caution import ABOUT, Caution, Severity, sort_cautions
from glazecalc.errors import UnknownNameError


def caution(code="x", about="food", severity="know", message="m") -> Caution:
    return Caution(
        code=code,
        title="t",
        about=about,
        severity=severity,
        message=message,
        do="d",
        evidence={"n": 1.0},
        source="s",
    )


def test_there_are_three_steps_each_with_a_meaning():
    assert [str(step) for step in Severity] == ["stop", "look", "know"]
    assert len({step.meaning for step in Severity}) == 3
    assert [step.rank for step in Severity] == [0, 1, 2]


def test_json_has_the_keys_of_the_contract_in_order():
    plain = caution().to_dict()
    assert list(plain) == ["code", "title", "about", "severity", "message", "why", "do", "evidence", "source"]
    assert json.loads(json.dumps(plain)) == plain


def test_gravest_first_then_about_then_code():
    given = [
        caution("b", "bench", "know"),
        caution("a", "bench", "know"),
        caution("z", "surface", "look"),
        caution("y", "food", "look"),
        caution("q", "bucket", "stop"),
    ]
    assert [c.code for c in sort_cautions(given)] == ["q", "y", "z", "a", "b"]


def test_same_words_are_kept_once_with_the_graver_step():
    kept = sort_cautions([caution(severity="know"), caution(severity="stop"), caution(severity="look")])
    assert [c.severity for c in kept] == [Severity.STOP]
    assert len(sort_cautions([caution(message="m"), caution(message="n")])) == 2


def test_a_caution_about_nothing_known_is_refused():
    assert len(ABOUT) == 7
    with pytest.raises(UnknownNameError, match="weather"):
        caution(about="weather")
    with pytest.raises(UnknownNameError, match="panic"):
        caution(severity="panic")
