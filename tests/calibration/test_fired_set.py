"""The bands of the fired glazes are what the program makes of the shipped rows, and hold on sources left out."""

from __future__ import annotations

import re

import pytest

from tests.calibration import fired_set as calibration

ROWS = calibration.rows()


def test_the_bands_are_written_by_the_program_to_the_last_digit():
    assert calibration.BANDS.read_text(encoding="utf-8") == calibration.text(ROWS)
    assert calibration.REPORT.read_text(encoding="utf-8") == calibration.report(ROWS)


def test_rows_are_whole_glazes_of_named_sources_without_titles():
    text = calibration.ROWS.read_text(encoding="utf-8")
    addresses = dict(re.findall(r"^# (s\d\d): (.+)$", text, re.MULTILINE))
    assert {row.source for row in ROWS} == set(addresses)
    assert len({row.id for row in ROWS}) == len(ROWS) == 83
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    header = lines[0].split(",")
    first = header.index("source") + 1
    for line in lines[1:]:  # mol %, as the source file printed them
        assert sum(float(cell) for cell in line.split(",")[first:] if cell) == pytest.approx(100, abs=0.15), line


def test_sources_left_out_read_as_they_came_from_the_kiln():
    table = calibration.left_out(ROWS)
    matured, ran = table["matured, inside the range"], table["ran"]
    assert matured["melt"]["melt-among"] >= 0.8 * sum(matured["melt"].values())
    assert matured["run"]["run-among"] >= 0.8 * sum(matured["run"].values())
    assert 6 * ran["run"].get("run-among", 0) <= sum(ran["run"].values())
    failed = table["not melted"]["melt"]
    assert failed.get("melt-like-a-cone", 0) >= 6 * failed.get("melt-among", 0)
