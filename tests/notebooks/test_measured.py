"""The measured glasses beside the notebooks are those that the models are tested against, notice and all."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.notebooks.outputs import NOTEBOOKS

PUBLISHED = Path(__file__).parents[1] / "published"
COPIES = {"expansion-glasses": "expansion_glasses", "melt-glasses": "viscosity_glasses", "difference-glasses": "difference_glasses"}


@pytest.mark.parametrize("name", COPIES)
def test_a_copy_is_the_file_that_the_tests_use(name: str):
    ours = (NOTEBOOKS / "measured" / f"{name}.csv").read_text(encoding="utf-8")
    assert ours == (PUBLISHED / f"{COPIES[name]}.csv").read_text(encoding="utf-8")
    assert "Open Database License" in ours.replace("\n# ", " ")
