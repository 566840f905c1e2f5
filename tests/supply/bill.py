"""The runtime dependencies as they are installed: a bill in the CycloneDX format (ECMA-424), lower bounds, advisories."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement

__all__ = ("advisories", "bill_of_materials", "licence_of", "lower_bounds", "runtime")

PROJECT = Path(__file__).parent.parent.parent / "pyproject.toml"


def _project() -> dict[str, Any]:
    project: dict[str, Any] = tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"]
    return project


def lower_bounds() -> list[str]:
    """Return the runtime dependencies at their oldest, `name==version`."""
    found = []
    for text in _project()["dependencies"]:
        requirement = Requirement(text)
        (bound,) = (spec.version for spec in requirement.specifier if spec.operator == ">=")
        found.append(f"{requirement.name}=={bound}")
    return found


def runtime() -> dict[str, Distribution]:
    """Return name -> distribution of everything that is installed because the program needs it, in the order of names."""
    found: dict[str, Distribution] = {}
    waiting = [Requirement(text) for text in _project()["dependencies"]]
    while waiting:
        requirement = waiting.pop()
        name = _plain(requirement.name)
        if name in found or (requirement.marker is not None and not requirement.marker.evaluate({"extra": ""})):
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            raise SystemExit(f"{name} is needed and not installed.") from None
        waiting += [Requirement(text) for text in found[name].requires or ()]
    return dict(sorted(found.items()))


def advisories(audit: dict[str, Any]) -> tuple[list[str], str]:
    """Return the advisories on what the program needs, `name version: id`, and what is to be said about the audit."""
    needed = runtime()
    parts = [part for part in audit["dependencies"] if _plain(part["name"]) in needed]
    found = [f"{part['name']} {part['version']}: {one['id']}" for part in parts for one in part.get("vulns", ())]
    audited = [part["name"] for part in parts if "vulns" in part]
    if found:
        return found, "advisories: " + "; ".join(found)
    if not audited:
        return [], "the advisory service is not reached from here: nothing was audited"
    skipped = sorted({part["name"] for part in parts} - set(audited))
    return [], f"no advisory on {', '.join(sorted(audited))}" + (
        f"; not audited: {', '.join(skipped)}" if skipped else ""
    )


def licence_of(one: Distribution) -> str:
    """Return the licence as the distribution states it: an expression, a class, or the first line of its text."""
    meta = one.metadata
    classes = [text.split(" :: ")[-1] for text in meta.get_all("Classifier") or () if text.startswith("License ::")]
    said = meta.get("License-Expression") or ", ".join(classes) or (meta.get("License") or "").strip()
    return said.splitlines()[0] if said else "not stated"


def bill_of_materials() -> dict[str, Any]:
    """Return the bill: the program, and each package it needs with version, licence and package URL."""
    project, parts = _project(), runtime()
    main = f"pkg:pypi/{project['name']}@{project['version']}"
    components = [
        {
            "type": "library",
            "bom-ref": f"pkg:pypi/{name}@{one.version}",
            "name": name,
            "version": one.version,
            "purl": f"pkg:pypi/{name}@{one.version}",
            "licenses": [{"license": {"name": licence_of(one)}}],
        }
        for name, one in parts.items()
    ]
    needed = {Requirement(text).name.lower() for text in project["dependencies"]}
    depends = {main: needed} | {f"pkg:pypi/{name}@{one.version}": _direct(one) for name, one in parts.items()}
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": main,
                "name": project["name"],
                "version": project["version"],
                "purl": main,
                "licenses": [{"license": {"id": project["license"]}}],
            }
        },
        "components": components,
        "dependencies": [
            {"ref": ref, "dependsOn": [part["bom-ref"] for part in components if part["name"] in names]}
            for ref, names in depends.items()
        ],
    }


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _direct(one: Distribution) -> set[str]:
    wanted = [Requirement(text) for text in one.requires or ()]
    return {
        _plain(requirement.name)
        for requirement in wanted
        if requirement.marker is None or requirement.marker.evaluate({"extra": ""})
    }
