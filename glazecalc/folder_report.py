"""Every recipe of a folder looked at in one go: a row for each that can be read, the reason for each that cannot."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, Literal

from glazecalc.body import ClayBody
from glazecalc.check_report import CheckReport, check
from glazecalc.convention import Convention
from glazecalc.display import Shown
from glazecalc.errors import MOST_FAULTS, Fault, FileFaultsError, GlazeError, Notice
from glazecalc.estimate.result import Estimate
from glazecalc.files.recipes import read_recipe
from glazecalc.files.text_file import file_fault
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Use

__all__ = ("FolderReport", "FolderRow", "Reject", "check_folder")

ENDINGS = (".txt", ".yaml", ".yml", ".csv", ".tsv", "")
"""Of the files that are read as recipes."""
FITTED = "fitted"
"""The model whose expansion stands in a row where it has one."""
_QUESTIONS = ("additions-or-percent", "title-is-a-material", "title-read-as-firing", "title-with-number")
_MOST_FILES = 2000  # this program's own choice
_DEFAULT = Convention()


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderRow:
    """One recipe of the folder: its file, and all that `check` found."""

    JSON: ClassVar[tuple[str, ...]] = (
        "file", "name", "cone=report.cone", "atmosphere=report.atmosphere", "use=report.use", "silica_alumina_ratio=report.silica_alumina_ratio",
        "expansion", "readings=report.readings", "cautions=_cautions", "notices=report.notices",
    )  # fmt: skip

    file: str
    report: CheckReport

    @property
    def name(self) -> str:
        """The name of the recipe, or of its file where it has none."""
        return self.report.batch.recipe.name or Path(self.file).stem

    @property
    def expansion(self) -> Estimate | None:
        """The expansion by the fitted model, else by another; None where there is none."""
        found = [estimate for estimate in self.report.estimates if estimate.quantity == "expansion"]
        return next((estimate for estimate in found if estimate.model == FITTED), found[0] if found else None)

    @property
    def stops(self) -> tuple[str, ...]:
        """The titles of what is to be settled before anything else, and of lead and cadmium."""
        grave = (c.title for c in self.report.cautions if c.severity == "stop" or c.never_folded)
        return tuple(dict.fromkeys(grave))

    @property
    def asked(self) -> tuple[str, ...]:
        """What its card leaves open and was read in one way."""
        return tuple(notice.message for notice in self.report.notices if notice.code in _QUESTIONS)

    @property
    def _cautions(self) -> list[dict[str, str]]:
        return [{"code": c.code, "title": c.title, "severity": c.severity.value} for c in self.report.cautions]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reject:
    """A file that could not be read as a recipe, with every fault."""

    JSON: ClassVar[tuple[str, ...]] = ("file", "faults")

    file: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderReport(Shown):
    """What was found in a folder.

    Attributes
    ----------
    rows : tuple of FolderRow
        In the order of the names of the files.
    rejects : tuple of Reject
        The files that could not be read.
    left_aside : tuple of str
        What has no ending of a recipe, and folders within the folder.
    notices : tuple of Notice
        What holds for the whole folder; those of a recipe stand in its report.
    """

    PAGE: ClassVar[str] = "folder"
    JSON: ClassVar[tuple[str, ...]] = ("folder", "convention", "rows", "rejects", "left_aside", "notices")

    folder: str
    convention: Convention
    rows: tuple[FolderRow, ...]
    rejects: tuple[Reject, ...]
    left_aside: tuple[str, ...]
    notices: tuple[Notice, ...]

    def __repr__(self) -> str:
        return f"<FolderReport of {self.folder}: {len(self.rows)} recipes, {len(self.rejects)} not read>"


def check_folder(
    folder: str | Path,
    materials: MaterialLibrary,
    *,
    body: ClayBody | None = None,
    cone: str = "",
    use: Use | Literal[""] = "",
    convention: Convention = _DEFAULT,
) -> FolderReport:
    """Look at every recipe of a folder; folders within it and hidden files are not looked into.

    Parameters
    ----------
    folder : str or Path
        The folder.
    materials, body, cone, use, convention
        As for `check`; they hold for every recipe.

    Returns
    -------
    FolderReport
        One row a recipe; the others with their reasons.

    Raises
    ------
    FileFaultsError
        Where no recipe could be read: with the reasons.
    """
    recipes, aside = _listed(Path(folder))
    rows: list[FolderRow] = []
    rejects: list[Reject] = []
    for path in recipes:
        try:
            recipe = read_recipe(path)
            report = check(recipe, materials, body=body, cone=cone, use=use, convention=convention)
        except GlazeError as error:
            faults = error.faults[:MOST_FAULTS] or (Fault(None, error.message, error.hint),)
            rejects.append(Reject(file=path.name, faults=faults))
        else:
            rows.append(FolderRow(file=path.name, report=report))
    if not rows:
        reasons = [Fault(None, f"{one.file}: {one.faults[0].message}", one.faults[0].hint) for one in rejects]
        endings = ", ".join(filter(None, ENDINGS))
        none = Fault(None, "the folder holds no recipe that can be read.", f"Recipes end in {endings}.")
        raise FileFaultsError(str(folder), [none, *reasons])
    return FolderReport(
        folder=str(folder),
        convention=convention,
        rows=tuple(rows),
        rejects=tuple(rejects),
        left_aside=tuple(aside),
        notices=materials.notices,
    )


def _listed(folder: Path) -> tuple[list[Path], list[str]]:
    """Return the files that may be recipes, and the names of what is left aside; ``Blue 2`` stands before ``Blue 10``."""
    try:
        entries = [entry for entry in os.scandir(folder) if not entry.name.startswith(".")]
    except OSError as error:
        raise file_fault(folder, f"the folder cannot be read: {error.strerror or error}.") from None
    if len(entries) > _MOST_FILES:
        raise file_fault(folder, f"the folder holds more than {_MOST_FILES} files.", "Give one that holds recipes.")
    entries.sort(key=lambda entry: (_in_order(entry.name), entry.name))
    recipes = [folder / e.name for e in entries if not e.is_dir() and Path(e.name).suffix.lower() in ENDINGS]
    names = {path.name for path in recipes}
    return recipes, [f"{e.name}/" if e.is_dir() else e.name for e in entries if e.name not in names]


def _in_order(name: str) -> list[tuple[int, int, str]]:
    parts = re.findall(r"\d+|\D+", name.casefold())
    return [(0, int(part), "") if part.isdecimal() and len(part) < 20 else (1, 0, part) for part in parts]
