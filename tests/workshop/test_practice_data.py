"""Every figure of trade practice says who says so, or is marked as recalled or as our own arithmetic."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import glazecalc
from glazecalc.files.shipped import load_data

DATA: dict[str, Any] = load_data("workshop_practice.yaml")


def _marked(entry: dict[str, Any]) -> bool:
    return bool(
        entry.get("source")
        or entry.get("citation")
        or entry.get("derived")
        or entry.get("own_choice")
        or (entry.get("from_memory") and entry.get("confidence"))
    )


@pytest.mark.parametrize("topic", sorted(DATA))
def test_every_entry_has_a_source_or_a_mark(topic: str):
    block = DATA[topic]
    assert block["what"]
    for row in block.get("rows", [block]):
        assert _marked(row) or _marked(block), row
    for row in block.get("practice", []) if isinstance(block.get("practice"), list) else []:
        assert _marked(row), row


def test_ranges_run_upwards():
    for block in DATA.values():
        for row in [block, *block.get("rows", [])]:
            if "range" in row:
                assert row["range"][0] < row["range"][1]


def test_typical_coat_follows_from_its_stated_basis():
    # 0.2 and 0.3 mm of 2.45 g/cm3 with 10 % loss: mm x 100 cm2 per dm2 / 10 x density / 0.9.
    low, high = (mm / 10 * 100 * 2.45 / 0.9 for mm in (0.2, 0.3))
    coat = DATA["coat"]
    assert coat["range"][0] < low < coat["typical"] < high < coat["range"][1]


def test_sieve_openings_fall_with_the_mesh():
    openings = DATA["sieve"]["opening_um"]
    ordered = [openings[mesh] for mesh in sorted(openings, key=int)]
    assert ordered == sorted(ordered, reverse=True)


def test_every_choice_is_read_somewhere():
    package = Path(glazecalc.__file__).parent
    texts = (path.read_text(encoding="utf-8") for path in sorted(package.rglob("*.py")))
    code = "".join(text for text in texts if "workshop.practice" in text)
    assert {row["name"] for row in DATA["choices"]["rows"]} == set(re.findall(r'choice\("(\w+)"\)', code))
