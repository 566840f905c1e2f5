"""The numbers by which a search decides: each with its reason, each read somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import glazecalc
from glazecalc.files.shipped import load_data

DATA = load_data("reformulate_choices.yaml")


def test_every_number_has_a_reason():
    for name, entry in DATA.items():
        assert name == "wishes" or len(entry["reason"]) > 15, name


def test_every_number_is_read_somewhere():
    package = Path(glazecalc.__file__).parent
    code = "".join(
        path.read_text(encoding="utf-8")
        for room in ("optimise", "reformulate")
        for path in package.glob(f"{room}/*.py")
    )
    read = set(re.findall(r'cho(?:ice|sen_kinds)\("(\w+)"\)', code))
    twins = {
        name for name in DATA if name.endswith("_unasked") or f"{name}_unasked" in DATA
    }  # read by f"{name}{asked}"
    assert set(DATA) - {"wishes"} - twins == read - twins


def test_every_wish_in_words_has_a_usual_amount_with_its_reason():
    words = [word for entry in load_data("reformulate_words.yaml")["bench_words"] for word in entry["words"]]
    assert len(words) == len(set(words))
    for entry in load_data("reformulate_words.yaml")["bench_words"]:
        assert entry["amount"] > 0
        assert entry["means"].count("{}") == 1
        assert entry["reason"]
