"""A material file as a bag's sheet prints it."""

from __future__ import annotations

from pathlib import Path

import pytest

from glazecalc.errors import FileFaultsError
from glazecalc.files.materials import read_material

SHEET = """name: Slate clay
analysis:
  SiO2: 60.1 %
  Al2O3: 25.3%
  K2O: 2
  Fe2O3: <0.05
  MgO: n.d.
  {loss}: 12.5 %
source: {{title: the maker's sheet of May}}
"""


@pytest.mark.parametrize("loss", ["LOI", "loi", "L.O.I.", "Loss on ignition"])
def test_per_cent_signs_the_loss_among_the_oxides_and_no_id(tmp_path: Path, loss: str):
    path = tmp_path / "slate-clay.yaml"
    path.write_text(SHEET.format(loss=loss), encoding="utf-8")
    material = read_material(path)
    assert material.id == "slate-clay"
    assert material.analysis == {"SiO2": 60.1, "Al2O3": 25.3, "K2O": 2}
    assert material.below_detection == {"Fe2O3": "<0.05", "MgO": "n.d."}
    assert material.loi_percent == 12.5


def test_two_losses_are_refused_at_their_line(tmp_path: Path):
    path = tmp_path / "slate.yaml"
    path.write_text(SHEET.format(loss="LOI") + "loi_percent: 9\n", encoding="utf-8")
    with pytest.raises(FileFaultsError, match="slate.yaml:8: 'LOI' is 12.5, and loi_percent 9"):
        read_material(path)


def test_a_number_with_another_sign_is_refused_at_its_line(tmp_path: Path):
    path = tmp_path / "slate.yaml"
    path.write_text("name: Slate\nanalysis:\n  SiO2: 60.1 ppm\nsource: {title: t}\n", encoding="utf-8")
    with pytest.raises(FileFaultsError, match="slate.yaml:3: 'analysis: SiO2'"):
        read_material(path)
