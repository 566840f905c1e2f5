"""The files that a weighing list is written to: its sheet, and a label."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from glazecalc.show import label as label_page
from glazecalc.show import pages
from glazecalc.show.sheet_html import sheet_html
from glazecalc.workshop.bucket_label import BucketLabel, LabelUnit
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("written_sheets",)


def _is_html(path: str, option: str) -> bool:
    """Return whether a file is to be a page to print or plain text, by its ending; refuse any other."""
    ending = Path(path).suffix.lower()
    if ending not in (".html", ".htm", ".txt"):
        raise click.BadParameter(f"'{path}': a file ending in .html or .txt was expected.", param_hint=f"'{option}'")
    return ending != ".txt"


def written_sheets(
    listed: ScaledBatch | None,
    bucket: ScaledBatch | None,
    *,
    sheet: str | None,
    label: str | None,
    bench: Sequence[str],
    unit: LabelUnit = "g",
    mesh: str = "",
    date: str = "",
    batch_no: str = "",
) -> list[tuple[str, str]]:
    """Return the files that are asked for with their texts: the sheet of what is `listed`, the label of what is in the `bucket`."""
    writes = []
    if sheet is not None and listed is not None:
        show = sheet_html if _is_html(sheet, "--sheet") else pages.page
        text = show(listed, unit=unit, mesh=mesh, date=date, batch_no=batch_no, bench=bench)
        writes.append((sheet, text.rstrip("\n") + "\n"))
    if label is not None and bucket is not None:
        show_label = label_page.label_html if _is_html(label, "--label") else label_page.page
        text = show_label(
            BucketLabel(bucket=bucket, bench=tuple(bench), unit=unit, date=date, batch_no=batch_no, mesh=mesh)
        )
        writes.append((label, text.rstrip("\n") + "\n"))
    return writes
