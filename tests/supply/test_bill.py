"""The bill of materials is whole, every licence is told in DEVELOPERS.md, and every bound is one."""

from __future__ import annotations

from pathlib import Path

from tests.supply.bill import advisories, bill_of_materials, lower_bounds, runtime

DEVELOPERS = Path(__file__).parent.parent.parent / "DEVELOPERS.md"


def test_the_bill_names_every_package_that_is_needed_with_version_and_licence():
    bill = bill_of_materials()
    assert (bill["bomFormat"], bill["specVersion"]) == ("CycloneDX", "1.5")
    names = {part["name"] for part in bill["components"]}
    assert {"numpy", "pandas", "periodictable", "pyyaml", "click", "highspy", "pyparsing"} <= names
    references = {part["bom-ref"] for part in bill["components"]}
    for part in bill["components"]:
        assert part["version"]
        assert part["purl"] == f"pkg:pypi/{part['name']}@{part['version']}"
        assert part["licenses"][0]["license"]["name"] != "not stated"
    for entry in bill["dependencies"]:
        assert set(entry["dependsOn"]) <= references


def test_the_licence_of_every_runtime_package_is_told():
    text = DEVELOPERS.read_text(encoding="utf-8")
    table = text[text.index("## Licences") :]
    missing = [name for name in runtime() if f"| {name} |" not in table]
    assert missing == []


def test_every_dependency_has_one_lower_bound():
    assert {"numpy", "click"} <= {text.split("==")[0] for text in lower_bounds()}


def test_what_was_not_audited_is_never_called_clean():
    skipped = {"name": "numpy", "skip_reason": "not found"}
    sound = {"name": "click", "version": "8.1", "vulns": []}
    faulty = {"name": "PyYAML", "version": "5.1", "vulns": [{"id": "GHSA-0"}]}
    foreign = {"name": "pip", "version": "1", "vulns": [{"id": "GHSA-1"}]}  # not what the program needs
    assert advisories({"dependencies": [skipped, foreign]}) == (
        [],
        "the advisory service is not reached from here: nothing was audited",
    )
    assert advisories({"dependencies": [skipped, sound]}) == ([], "no advisory on click; not audited: numpy")
    assert advisories({"dependencies": [sound, faulty]})[0] == ["PyYAML 5.1: GHSA-0"]
