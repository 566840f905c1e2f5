"""A value names its page and its JSON keys; `show` is found at call time. The one seam by which a low room looks up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from glazecalc.brief import Brief

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("BY_ROW", "RECALLED", "Shown", "Tabular")

RECALLED = "recalled, not checked against the print"  # how what the data marks `from_memory` is printed

BY_ROW = "by row, in the column unit"


class Shown(Brief):
    """What a value needs to show itself: as the page that the command prints, and as plain values for JSON.

    `PAGE` is the module of `glazecalc.show` whose ``page(value, **options)`` prints it; where no command does, its fields. `JSON` are its keys,
    ``"name"`` for an attribute or ``"key=path.to.attribute"``, in order; empty for the fields of the dataclass.
    """

    __slots__ = ()
    PAGE: ClassVar[str] = "fields"
    JSON: ClassVar[tuple[str, ...]] = ()

    def __str__(self) -> str:
        from glazecalc.plain_text import visible
        from glazecalc.show import pages

        return visible(pages.page(self))

    def _repr_html_(self) -> str:
        """Return the page for a notebook, escaped; its colours are the notebook's own, light or dark."""
        from html import escape

        return f"<pre>{escape(str(self))}</pre>"

    def to_dict(self) -> dict[str, Any]:
        """Return it as plain values with the keys of its JSON."""
        from glazecalc.show import pages

        plain: dict[str, Any] = pages.plain(self)
        return plain


class Tabular(Shown):
    """A value that is a table: `ROWS` names the attribute that holds its rows, `COLUMNS` what of a row is a column, with its unit.

    A column is ``"name"`` for an attribute or ``"column=path.to.attribute"``, as the keys of `JSON` are.
    """

    __slots__ = ()
    PAGE: ClassVar[str] = "rows"
    ROWS: ClassVar[str] = ""
    COLUMNS: ClassVar[Mapping[str, str]] = {}

    @property
    def units(self) -> dict[str, str]:
        """Column -> its unit, empty where it has none."""
        return {column.partition("=")[0]: unit for column, unit in self.COLUMNS.items()} | dict(self._units)

    @property
    def _units(self) -> Mapping[str, str]:
        """The unit of each column, where it is another than `COLUMNS` says."""
        return {}

    def to_frame(self) -> pd.DataFrame:
        """Return the rows as a frame; ``attrs["units"]`` has the unit of each column that has one, ``attrs["notices"]`` what must be said."""
        import pandas as pd

        from glazecalc.show import pages

        columns = self.units
        rows = [pages.keyed(row, self.COLUMNS) for row in getattr(self, self.ROWS)]
        frame = pd.DataFrame(rows, columns=list(columns))
        frame.attrs["units"] = {name: unit for name, unit in columns.items() if unit}
        frame.attrs["notices"] = [notice.message for notice in getattr(self, "notices", ())]
        return frame
