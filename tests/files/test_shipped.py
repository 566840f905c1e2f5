"""What ships is read quickly, and never read as it was before it changed."""

from __future__ import annotations

import copy
import os
import pickle
import sys
from pathlib import Path
from typing import Any

import pytest

import glazecalc as gc
from glazecalc.files import shipped
from glazecalc.files.materials import bundled_entry
from glazecalc.files.shipped import load_data
from glazecalc.files.yaml_events import read_yaml
from glazecalc.library import OnFile

ROOT = Path(gc.__file__).parents[1]
DATA = sorted(path.name for path in (ROOT / "glazecalc" / "data").glob("*.yaml"))
MATERIALS = sorted((ROOT / "materials").glob("*.yaml"))


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A package whose data may be changed, and beside which Python may keep what it has read."""
    (tmp_path / "data").mkdir()
    monkeypatch.setattr(shipped, "_package", lambda: tmp_path)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    return tmp_path


def _load(name: str) -> Any:
    return load_data.__wrapped__(name)


def test_what_is_kept_of_the_data_is_what_the_files_hold(package: Path, monkeypatch: pytest.MonkeyPatch):
    for name in DATA:
        text = (ROOT / "glazecalc" / "data" / name).read_text(encoding="utf-8")
        (package / "data" / name).write_text(text, encoding="utf-8")
    first = {name: _load(name) for name in DATA}
    monkeypatch.setattr(shipped, "_plain", lambda *_: pytest.fail("read anew though nothing has changed"))
    assert repr({name: _load(name) for name in DATA}) == repr(first)  # 1 and 1.0 are equal, but not written alike
    assert {
        name: read_yaml((package / "data" / name).read_text(encoding="utf-8"), name).plain() for name in DATA
    } == first


def test_data_that_changed_is_read_anew(package: Path):
    file = package / "data" / "limits.yaml"
    file.write_text("least: 1\n")
    os.utime(file, (1e9, 1e9))
    assert _load("limits.yaml") == {"least": 1}
    file.write_text("least: 2\n")  # as long as before, and newer
    assert _load("limits.yaml") == {"least": 2}
    file.write_text("least: 2.5\n")
    os.utime(file, (1e9, 1e9))
    assert _load("limits.yaml") == {"least": 2.5}


def test_data_is_read_anew_where_its_reader_changed(package: Path, monkeypatch: pytest.MonkeyPatch):
    (package / "data" / "limits.yaml").write_text("least: 1\n")
    assert _load("limits.yaml") == {"least": 1}
    newer = package / "yaml_events.py"
    newer.touch()
    os.utime(newer, (2e9, 2e9))
    monkeypatch.setattr(shipped.yaml_events, "__file__", str(newer))
    monkeypatch.setattr(shipped, "_plain", lambda *_: {"least": "as the new reader has it"})
    assert _load("limits.yaml") == {"least": "as the new reader has it"}


def test_a_fault_in_the_data_is_told_with_its_line(package: Path):
    (package / "data" / "limits.yaml").write_text("least: 1\nleast: 2\n")
    for _ in range(2):
        with pytest.raises(gc.FileFaultsError, match=r"glazecalc/data/limits.yaml:2: "):
            _load("limits.yaml")


def test_the_head_of_a_bundled_file_names_the_material():
    for path in MATERIALS:
        entry = bundled_entry(path.read_text(encoding="utf-8"), path.name)
        assert isinstance(entry, OnFile), f"id, name and aliases do not come first in {path.name}"
        material = entry.material
        assert (entry.id, entry.name, entry.path) == (material.id, material.name, material.path)
        assert entry.names == material.names
        assert entry.material is material


SHEET = "id: pale_spar\nname: Pale spar\nkind: feldspar\nanalysis: {SiO2: 65, Al2O3: 20, K2O: 15}\nsource: {title: t}\n"


@pytest.mark.parametrize(
    "text",
    [
        SHEET + "aliases: [chalk spar]\n",
        SHEET + "'aliases': [chalk spar]\n",
        SHEET + "? aliases\n: [chalk spar]\n",
        SHEET.replace("kind", "aliases:\n  - chalk spar\nkind"),
        SHEET.replace("kind", "aliases: [\n  chalk spar\n  ]\nkind"),
        SHEET.replace("kind", "aliases:\n- chalk spar\nkind"),
        SHEET.replace("kind", "aliases: chalk spar\nkind"),
        SHEET.replace("kind", "aliases: ['chalk spar'] # an old name\nkind"),
    ],
)
def test_no_name_is_missed_wherever_it_stands(text: str):
    assert bundled_entry(text, "pale_spar.yaml").names == ("pale_spar", "Pale spar", "chalk spar")


def test_a_name_given_twice_is_a_fault_wherever_it_stands():
    with pytest.raises(gc.FileFaultsError, match=r"pale_spar.yaml:6: .*name"):
        bundled_entry(SHEET + "name: Chalk spar\n", "pale_spar.yaml")


def test_a_library_travels_whole():
    library = gc.load_materials()
    for other in (pickle.loads(pickle.dumps(library)), copy.deepcopy(library)):
        assert other == library
        assert list(other) == list(library)
        assert other.find("china clay") == library.find("china clay")
