"""Many recipes read in one go, with what could not be read beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, ClassVar

from glazecalc.display import Tabular
from glazecalc.errors import Fault, Notice, warn_of
from glazecalc.library import MaterialLibrary
from glazecalc.recipe import Recipe
from glazecalc.spelling import name_key, spelled_out

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("RecipeCollection", "RecipeRow", "Reject")

_IN_ROW_UNIT = "by row, in the column unit"
_PARTS = "parts, or g where the recipe is in weights"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reject:
    """A file or a row of a table that could not be read as a recipe, with every fault.

    `name` is what the row calls itself, empty for a file; `line` the first line of it, None for a whole file.
    """

    JSON: ClassVar[tuple[str, ...]] = ("file", "name", "line", "faults", "reason")

    file: str
    faults: tuple[Fault, ...]
    name: str = ""
    line: int | None = None

    @property
    def reason(self) -> str:
        """All faults as one text, each with its line and its mend."""
        places = (f"line {fault.line}: " if fault.line is not None else "" for fault in self.faults)
        return " ".join(f"{at}{one.message} {one.hint}".strip() for at, one in zip(places, self.faults, strict=True))

    def as_row(self) -> dict[str, str | int | None]:
        """Return it as a row of a table: file, name, line and reason."""
        return {"file": self.file, "name": self.name, "line": self.line, "reason": self.reason}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeRow:
    """One recipe of a collection: its label among the others, its file, and the line of its row where that is a table."""

    recipe: Recipe
    label: str
    file: str
    line: int | None

    @property
    def unit(self) -> str:
        """Of its totals: ``parts`` or ``g``."""
        return "g" if self.recipe.has_mass_units else "parts"

    @property
    def said(self) -> str:
        """What its reader found worth saying."""
        return " ".join(notice.message for notice in self.recipe.notices)


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeCollection(Tabular):
    """Recipes of a folder or of one table; every file or row that was met is among `recipes`, `rejects` or `left_aside`.

    Attributes
    ----------
    source : str
        The folder or the file.
    recipes : tuple of Recipe
        In the order of the names of the files, or of the rows.
    rejects : tuple of Reject
        What could not be read, with file, line and reason.
    left_aside : tuple of str
        Of a folder: what has no ending of a recipe, and folders within it.
    notices : tuple of Notice
        What holds for the whole; those of a recipe are its own.
    materials : MaterialLibrary or None
        By which the names were looked up, where one was given.
    is_table : bool
        True where all come from one table.
    """

    ROWS: ClassVar[str] = "rows"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "name=recipe.name": "", "cone=recipe.cone": "", "atmosphere=recipe.atmosphere": "", "cooling=recipe.cooling": "", "body=recipe.body": "",
        "use=recipe.use": "", "version=recipe.version": "", "based_on=recipe.based_on": "", "notes=recipe.notes": "",
        "base_total=recipe.base_total": _IN_ROW_UNIT, "additions_total=recipe.additions_total": _IN_ROW_UNIT, "unit": "", "file": "", "line": "",
        "said": "",
    }  # fmt: skip
    PAGE: ClassVar[str] = "recipes"
    JSON: ClassVar[tuple[str, ...]] = ("source", "recipes", "rejects", "left_aside", "notices")

    source: str
    recipes: tuple[Recipe, ...]
    rejects: tuple[Reject, ...] = ()
    left_aside: tuple[str, ...] = ()
    notices: tuple[Notice, ...] = ()
    materials: MaterialLibrary | None = None
    is_table: bool = False

    def __repr__(self) -> str:
        return f"<RecipeCollection of {self.source}: {len(self.recipes)} recipes, {len(self.rejects)} not read>"

    @property
    def rows(self) -> tuple[RecipeRow, ...]:
        """The recipes with label, file and line. A label is the name; where several have one name, or none, file or line stand with it."""
        names = [recipe.name or PurePath(recipe.path).stem for recipe in self.recipes]
        times = Counter(names)
        rows = []
        for recipe, name in zip(self.recipes, names, strict=True):
            line = recipe.ingredients[0].line if self.is_table and recipe.ingredients else None
            file = PurePath(recipe.path).name
            also = f" (line {line})" if line is not None else f" ({file})"
            label = f"{name}{also}" if times[name] > 1 or (self.is_table and not recipe.name) else name
            rows.append(RecipeRow(recipe=recipe, label=label, file=file, line=line))
        return tuple(rows)

    def to_frame(self) -> pd.DataFrame:
        """Return one row a recipe: what its card says beside its materials; ``attrs["rejects"]`` has file, name, line and reason of the others.

        The index is that of `parts`, so that a frame made from them can be joined to it.
        """
        frame = Tabular.to_frame(self)
        frame.index = self._index(row.label for row in self.rows)
        return self._with_said(frame)

    def parts(self) -> pd.DataFrame:
        """Return the recipes as `unity_table` takes them: one row a recipe, one column a material, base and additions together.

        Additions in per cent are worked out of each recipe's own base. 0 stands where a recipe lacks a material. The columns are
        ids of materials where a library was given to `read_recipes`, else the names as they were met first, spelling folded.
        ``attrs["notices"]`` tells how names were read, ``attrs["rejects"]`` what is not there; both are a `GlazeWarning` too.
        """
        import numpy as np
        import pandas as pd

        column_of: dict[str, int] = {}  # name as written -> column
        labels: dict[Any, str] = {}  # what tells materials apart -> name of the column
        met: list[tuple[int, int, float]] = []
        for row, recipe in enumerate(self.recipes):
            for item, amount in zip(recipe.ingredients, recipe.amounts(), strict=True):
                if item.material not in column_of:
                    key, label = self._column(item.material)
                    labels.setdefault(key, label)
                    column_of[item.material] = list(labels).index(key)
                met.append((row, column_of[item.material], amount))
        values = np.zeros((len(self.recipes), len(labels)))
        if met:
            rows, columns, amounts = zip(*met, strict=True)
            np.add.at(values, (list(rows), list(columns)), list(amounts))
        index = self._index(row.label for row in self.rows)
        frame = self._with_said(pd.DataFrame(values, index=index, columns=list(labels.values())))
        frame.attrs["units"] = dict.fromkeys(frame.columns, _PARTS)
        said = [*frame.attrs["notices"]]
        if self.rejects:
            said.append(f"{len(self.rejects)} could not be read: see attrs['rejects'].")
        warn_of(said)
        return frame

    def _column(self, name: str) -> tuple[Any, str]:
        """Return what tells the material of a name apart from others, and the name of its column."""
        if self.materials is None:
            return spelled_out(name_key(name)), name
        found = self.materials.find(name)[0].id
        return found, found

    def _index(self, labels: Any) -> pd.Index[Any]:
        import pandas as pd

        index: pd.Index[Any] = pd.Index(list(labels), name="recipe")
        return index

    def _with_said(self, frame: pd.DataFrame) -> pd.DataFrame:
        frame.attrs["notices"] = [notice.message for notice in self.notices]
        frame.attrs["rejects"] = [reject.as_row() for reject in self.rejects]
        return frame
