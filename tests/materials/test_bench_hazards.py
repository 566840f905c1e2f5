"""The bench-hazard file: every figure has a source or a memory mark, and the known figures stand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
DATA = yaml.safe_load((ROOT / "glazecalc" / "data" / "bench_hazards.yaml").read_text(encoding="utf-8"))


@pytest.fixture(params=DATA["hazards"], ids=str)
def hazard(request: pytest.FixtureRequest) -> dict[str, Any]:
    return dict(DATA["hazards"][request.param])


def test_every_entry_is_whole(hazard: dict[str, Any]) -> None:
    assert hazard["label"]
    assert hazard["handling"].endswith(".")
    assert hazard["concern_class"] in DATA["concern_classes"]
    assert hazard["limits"]
    assert hazard["classifications"]


def test_every_figure_has_a_source_or_a_memory_mark(hazard: dict[str, Any]) -> None:
    rows = [
        *hazard["limits"],
        *hazard.get("no_limit", []),
        *hazard["classifications"],
        *hazard.get("cas", []),
    ]
    for row in rows:
        if "source" in row:
            assert row["source"] in DATA["sources"]
        else:
            assert row["from_memory"] is True
            assert row["citation"]


def test_limits_are_numbers_with_units(hazard: dict[str, Any]) -> None:
    for limit in hazard["limits"]:
        assert limit["value"] > 0
        assert limit["unit"] in ("mg/m3", "mppcf", "ug Pb/100 ml")
        assert limit["averaging"] in ("TWA", "STEL", "ceiling", "15 min ceiling", "of blood")


def test_every_hazard_code_has_its_words(hazard: dict[str, Any]) -> None:
    for row in hazard["classifications"]:
        assert set(row["codes"]) <= set(DATA["h_statements"])


def test_every_source_is_used() -> None:
    text = (ROOT / "glazecalc" / "data" / "bench_hazards.yaml").read_text(encoding="utf-8")
    in_prose_only = {"REES_1992"}  # the ball-clay note names the paper
    for key in set(DATA["sources"]) - in_prose_only:
        assert text.count(key) > 1, key


def test_nothing_is_cleared_for_use() -> None:
    words = " ".join(h["handling"] + h.get("note", "") for h in DATA["hazards"].values()).lower()
    assert "food safe" not in words
    assert " is safe" not in words
    assert "harmless" not in words


@pytest.mark.parametrize(
    ("key", "body", "value"),
    [
        # 29 CFR 1910.1053: 50 ug/m3 of respirable crystalline silica, action level 25.
        ("silica_quartz", "OSHA PEL", 0.05),
        ("silica_quartz", "OSHA action level", 0.025),
        # 29 CFR 1910.1025: 50 ug/m3 of lead, action level 30.
        ("lead_compounds", "OSHA PEL", 0.05),
        ("lead_compounds", "OSHA action level", 0.03),
        # Directive (EU) 2024/869 as the Commission reports it; the HSE's addendum to EH40.
        ("lead_compounds", "EU binding limit", 0.03),
        ("lead_compounds", "EU binding limit (15 from 2029)", 30),
        ("silica_quartz", "UK WEL", 0.1),
        # OSHA chemical sampling information: soluble barium 0.5, manganese ceiling 5.
        ("barium_carbonate", "OSHA PEL", 0.5),
        ("manganese_dioxide", "OSHA PEL", 5),
    ],
)
def test_limits_of_the_rules_read(key: str, body: str, value: float) -> None:
    assert [row["value"] for row in DATA["hazards"][key]["limits"] if row["body"] == body] == [value]
