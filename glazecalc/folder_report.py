"""Every recipe of a folder looked at in one go: a row for each that can be read, the reason for each that cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Literal

from glazecalc.body import ClayBody
from glazecalc.check_report import CheckReport, check
from glazecalc.convention import Convention
from glazecalc.display import Tabular
from glazecalc.errors import GlazeError, Notice
from glazecalc.estimate.result import Estimate
from glazecalc.files.recipe_folder import none_read, recipe_files, reject_of
from glazecalc.files.recipes import read_recipe
from glazecalc.library import MaterialLibrary
from glazecalc.readings.reading import ABOUT
from glazecalc.recipe import Use
from glazecalc.recipe_collection import Reject

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("FolderReport", "FolderRow", "check_folder")

FITTED = "fitted"
"""The model whose expansion stands in a row where it has one."""
_QUESTIONS = ("additions-or-percent", "title-is-a-material", "title-read-as-firing", "title-with-number")
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
class FolderReport(Tabular):
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

    ROWS: ClassVar[str] = "rows"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "file": "", "name": "", "cone=report.cone": "", "atmosphere=report.atmosphere": "", "use=report.use": "",
        "silica_alumina_ratio=report.silica_alumina_ratio": "mol per mol", "expansion=expansion.value": "1e-6 per K",
        "expansion low=expansion.low": "1e-6 per K", "expansion high=expansion.high": "1e-6 per K", "expansion model=expansion.model": "",
    }  # fmt: skip
    PAGE: ClassVar[str] = "folder"
    JSON: ClassVar[tuple[str, ...]] = ("folder", "convention", "rows", "rejects", "left_aside", "notices")

    folder: str
    convention: Convention
    rows: tuple[FolderRow, ...]
    rejects: tuple[Reject, ...]
    left_aside: tuple[str, ...]
    notices: tuple[Notice, ...]

    def to_frame(self) -> pd.DataFrame:
        """Return one row a recipe: its card, ratio and expansion, the code of each reading, and in `stops` what is to be settled first.

        ``attrs["rejects"]`` has file, name, line and reason of what could not be read.
        """
        frame = Tabular.to_frame(self)
        for place, about in enumerate(ABOUT):
            frame[about] = [row.report.readings[place].code for row in self.rows]
        frame["stops"] = ["; ".join(row.stops) for row in self.rows]
        frame.attrs["convention"] = self.convention.description
        frame.attrs["rejects"] = [reject.as_row() for reject in self.rejects]
        return frame

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
    UnknownNameError, ConeError, ArgumentError
        As for `check`.

    Examples
    --------
    >>> import glazecalc as gc
    >>> found = gc.check_folder("recipes", gc.load_materials("materials"))
    >>> [(row.name, row.report.cone) for row in found.rows][:2], len(found.rejects)
    ([('Chalk Satin', '6'), ('Harbour Black', '6')], 0)
    """
    recipes, aside = recipe_files(Path(folder))
    rows: list[FolderRow] = []
    rejects: list[Reject] = []
    for path in recipes:
        try:
            recipe = read_recipe(path)
            report = check(recipe, materials, body=body, cone=cone, use=use, convention=convention)
        except GlazeError as error:
            rejects.append(reject_of(path, error))
        else:
            rows.append(FolderRow(file=path.name, report=report))
    if not rows:
        raise none_read(folder, "folder", rejects)
    return FolderReport(
        folder=str(folder),
        convention=convention,
        rows=tuple(rows),
        rejects=tuple(rejects),
        left_aside=tuple(aside),
        notices=materials.notices,
    )
