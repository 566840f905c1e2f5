"""The files that a weighing list is written to: its sheet, and a label."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from glazecalc.display import Shown
from glazecalc.show import pages
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
    printed: dict[str, Any] = {"unit": unit, "mesh": mesh, "date": date, "batch_no": batch_no, "bench": tuple(bench)}
    if sheet is not None and listed is not None:
        writes.append((sheet, _text(listed, _is_html(sheet, "--sheet"), **printed)))
    if label is not None and bucket is not None:
        writes.append((label, _text(BucketLabel(bucket=bucket, **printed), _is_html(label, "--label"))))
    return writes


def _text(value: Shown, is_html: bool, **options: Any) -> str:
    if not is_html:
        return pages.page(value, **options).rstrip("\n") + "\n"
    from glazecalc.show.html import html_page  # loads the templates: only where a page is asked for

    return html_page(value, **options)
