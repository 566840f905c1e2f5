"""``glazecalc lab``: laboratory results against the limits of each jurisdiction."""

from __future__ import annotations

import textwrap
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glazecalc.cli.options import echo_json, echo_notices, json_option
from glazecalc.lab.report import PLACES

if TYPE_CHECKING:
    from glazecalc.lab.report import LabReport, LabRow

__all__ = ("command",)

_WIDTH = 100
_WARES = ("plate", "bowl", "cup", "pitcher", "storage", "cooking")


@click.command("lab")
@click.argument("file", type=click.Path())
@click.option("--ware", required=True, type=click.Choice(_WARES, case_sensitive=False), help="What was tested.")
@click.option("--depth", metavar="18mm", help="From the lowest inner point to the plane of the overflow.")
@click.option("--area", metavar="2.8dm2", help="Surface that the acid wetted.")
@click.option("--volume", metavar="0.4l", help="Filling volume.")
@click.option(
    "--where",
    multiple=True,
    type=click.Choice(tuple(PLACES), case_sensitive=False),
    help="Only the texts of this place; may repeat. All by default.",
)
@click.option("--full", is_flag=True, help="Class, sampling rule, conversion and source of every row.")
@json_option
def command(
    file: str,
    ware: str,
    depth: str | None,
    area: str | None,
    volume: str | None,
    where: tuple[str, ...],
    full: bool,
    as_json: bool,
) -> None:
    """Lay release results against the limits of each jurisdiction.

    \b
    FILE is CSV, one line a result:       element,value,unit,piece
                                          Pb,0.03,mg/dm2,1
                                          Cd,<0.005,mg/dm2,1
    The column 'piece' may be left out. Units: mg/L ug/mL ppm mg/dm2 ug/dm2 ug/cm2 and their kin.

    \b
    Example:  glazecalc lab results.csv --ware plate --depth 18mm --area 2.8dm2 --volume 0.4l
    """
    from glazecalc.files.release_results import read_release_results
    from glazecalc.lab.report import lab_report
    from glazecalc.release import Ware

    depth_mm, area_cm2, volume_ml = (
        _size(depth, "length", "--depth"),
        _size(area, "area", "--area"),
        _size(volume, "volume", "--volume"),
    )
    results, notices = read_release_results(file)
    report = lab_report(
        results,
        Ware(
            kind=ware,
            depth_mm=depth_mm,
            area_dm2=None if area_cm2 is None else area_cm2 / 100,
            volume_l=None if volume_ml is None else volume_ml / 1000,
        ),
        where=where,
    )
    if as_json:
        value = report.to_dict()
        value["notices"] = [{"code": n.code, "message": n.message} for n in notices] + value["notices"]
        echo_json(value)
    else:
        click.echo(_page(report, file, full))
    echo_notices([*notices, *report.notices])


def _size(text: str | None, dimension: str, option: str) -> Fraction | None:
    from glazecalc.errors import UnitError
    from glazecalc.units import parse_quantity

    if text is None:
        return None
    try:
        quantity = parse_quantity(text, dimension)
    except UnitError as error:
        raise click.UsageError(f"{option}: {error}") from None
    if quantity.exact_base <= 0:
        raise click.UsageError(f"{option}: '{text}' was given; more than zero was expected.")
    return quantity.exact_base


def _page(report: LabReport, file: str, full: bool) -> str:
    from glazecalc.files.shipped import load_data
    from glazecalc.release import ELEMENTS

    words = load_data("food_limits.yaml")["legal_status_words"]
    ware = report.ware
    sizes = [
        f"{float(ware.depth_mm):g} mm deep" if ware.depth_mm else "depth not given",
        f"{float(ware.area_dm2):g} dm2" if ware.area_dm2 else "area not given",
        f"{float(ware.volume_l):g} l" if ware.volume_l else "volume not given",
    ]
    lines = [*_wrapped(f"Release results of {Path(file).name}: {ware.kind}, {', '.join(sizes)}.", 0), ""]
    for element in dict.fromkeys(row.element for row in report.rows):
        given = [f"{r.text} {r.unit}" for r in report.results if r.element == element]
        shown = ", ".join(given[:6]) + (f" and {len(given) - 6} more" if len(given) > 6 else "")
        lines.extend(_wrapped(f"{ELEMENTS[element].capitalize()} ({element}): {shown or 'not in the results'}", 0))
        compared = [row for row in report.rows if row.element == element and row.standing]
        if compared:
            lines.append(f"  {'text':31s} {'status':20s} {'limit':>11s} {'measured':>12s}  standing")
        for row in compared:
            lines.append(
                f"  {_cut(row.short_name, 31):31s} {_cut(words[row.legal_status], 20):20s} {_limit(row):>11s} {row.measured_text:>12s}  {_standing(row)}"
            )
            if full:
                lines.extend(_wrapped(f"{row.document}. {row.note}.", 6))
                lines.extend(_wrapped(f"Source: {row.source}.", 6))
        lines.append("")
    left = [row for row in report.rows if not row.standing]
    if left:
        lines.append("Not applied, and why")
        grouped: dict[str, dict[str, list[str]]] = {}
        for row in left:
            text = f"{row.jurisdiction}, {row.document}" if row.legal_status != "comparator" else row.document
            elements = grouped.setdefault(row.why_not_applied, {}).setdefault(text, [])
            if row.element not in elements:
                elements.append(row.element)
        for why, by_text in grouped.items():
            names = "; ".join(f"{text} ({', '.join(elements)})" for text, elements in by_text.items())
            lines.extend(_wrapped(f"{why[0].upper()}{why[1:]}: {names}.", 2))
        lines.append("")
    lines.extend(
        _wrapped(
            "Measured stands in the unit of its limit; '1 of 6' means that the text asks for more pieces, "
            "~ that two laboratories may differ by as much. "
            "Only lead and cadmium have limits for ceramics in most places. A figure borrowed from water, metal or enamel is a yardstick, not law. "
            f"Texts as known in {load_data('food_limits.yaml')['checked_on']}: look up the text of your market.",
            0,
        )
    )
    if not full:
        lines.append(
            "--full shows the class of the ware, the sampling rule, the conversion and the source of every row."
        )
    return "\n".join(lines)


def _limit(row: LabRow) -> str:
    return f"{row.limit:g} {row.unit}"


def _standing(row: LabRow) -> str:
    words = row.standing
    if row.standing == "over" and row.ratio is not None:
        words = f"OVER x{row.ratio:.2g}" if row.ratio < 100 else f"OVER x{row.ratio:.0f}"
    if row.close:
        words += "~"
    return f"{words}, {row.pieces} of {row.pieces_asked}" if row.pieces < row.pieces_asked else words


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 3].rstrip() + "..."


def _wrapped(text: str, indent: int) -> list[str]:
    pad = " " * indent
    return textwrap.wrap(
        text, _WIDTH, initial_indent=pad, subsequent_indent=pad + ("  " if indent else ""), break_on_hyphens=False
    )
