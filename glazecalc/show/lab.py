"""The page of release results compared with the limits of each jurisdiction."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from glazecalc.display import RECALLED
from glazecalc.lab.duties import Duty
from glazecalc.lab.limits import checked_on, status_words
from glazecalc.lab.report import LabReport, LabRow
from glazecalc.release import ELEMENTS, EXTRACTIONS, ReleaseResult
from glazecalc.sentences import capital
from glazecalc.show.table import table
from glazecalc.show.text import wrapped

__all__ = ("beside_words", "compared_rows", "measured_words", "not_applied", "page", "standing_words", "ware_words")

_FURTHER = "'Further pieces': one piece lies over, and what the text then asks of more pieces is kept. "
_MOST_TOLD = 6  # results of one element in the head


def page(report: LabReport, *, of: str = "", full: bool = False) -> str:
    """Return the page; `of` names the file or the piece in its head.

    `full` adds the class of the ware, the sampling rule, the conversion and the source of every row.
    """
    words = status_words()
    lines = [*wrapped(f"Release results{f' of {of}' if of else ''}: {ware_words(report)}.", indent=0), ""]
    for element in dict.fromkeys(row.element for row in report.rows):
        lines += wrapped(f"{ELEMENTS[element].capitalize()} ({element}): {measured_words(report, element)}", indent=0)
        lines += [*_compared(compared_rows(report, element, full=full), words, full), ""]
    if left := not_applied(report):
        lines += ["Not applied, and why", *(line for text in left for line in wrapped(text, hang=4)), ""]
    lines += wrapped(beside_words(report), indent=0)
    lines += _duties(report.duties, full=full)
    if not full:
        lines.append(
            "--full shows the class of the ware, the sampling rule, the conversion and the source of every row."
        )
    return "\n".join(lines)


def ware_words(report: LabReport) -> str:
    """Return what was tested, with its sizes as far as they are given."""
    ware = report.ware
    sizes = [
        f"{float(ware.depth_mm):g} mm deep" if ware.depth_mm else "depth not given",
        f"{float(ware.area_dm2):g} dm2" if ware.area_dm2 else "area not given",
        f"{float(ware.volume_l):g} l" if ware.volume_l else "volume not given",
    ]
    return f"{ware.kind}, {', '.join(sizes)}"


def measured_words(report: LabReport, element: str) -> str:
    """Return the results of one element as the laboratory wrote them, the first six that differ."""
    given = Counter(f"{r.text} {r.unit}{_later(r)}" for r in report.results if r.element == element)
    told = [text if count == 1 else f"{text} ({count} pieces)" for text, count in given.items()]
    left = given.total() - sum(list(given.values())[:_MOST_TOLD])
    shown = ", ".join(told[:_MOST_TOLD]) + (f" and {left} more" if left else "")
    return shown or "not in the results"


def compared_rows(report: LabReport, element: str, *, full: bool) -> list[LabRow]:
    """Return the rows of one element that were compared with a limit; `full` also those that add nothing."""
    compared = [row for row in report.rows if row.element == element and row.standing]
    return compared if full else _that_say_more(compared)


def not_applied(report: LabReport) -> list[str]:
    """Return why texts were not applied, each reason once with the texts and elements that it holds for."""
    grouped: dict[str, dict[str, list[str]]] = {}
    for row in report.rows:
        if row.standing:
            continue
        text = f"{row.jurisdiction}, {row.document}" if row.legal_status != "comparator" else row.document
        elements = grouped.setdefault(row.why_not_applied, {}).setdefault(text, [])
        if row.element not in elements:
            elements.append(row.element)
    named = {
        why: "; ".join(f"{text} ({', '.join(elements)})" for text, elements in by_text.items())
        for why, by_text in grouped.items()
    }
    return [f"{capital(why)}: {names}." for why, names in named.items()]


def beside_words(report: LabReport) -> str:
    """Return what the words of the tables mean, and what must be known beside them."""
    marked = f"A star: {RECALLED}. " if any(row.recalled for row in report.rows if row.standing) else ""
    return (
        "'Measured' is shown in the limit's own unit. 'Over (15x)' is 15 times the limit; '1 of 6': the text asks for six pieces; "
        "'within lab error': two laboratories may differ by as much. "
        f"{_FURTHER if any(row.further_sample for row in report.rows) else ''}"
        f"{marked}Most texts read the first extraction, ISO the third of three; a result of another stands beside where it says more. "
        "Lead is limited in every place known here, cadmium in nearly all; some places limit more metals, with figures that were not found. "
        "A figure borrowed from water, metal or enamel is a yardstick, not law. "
        f"Texts as known in {checked_on()}: look up the text of your market."
    )


def _duties(owed: Sequence[Duty], *, full: bool) -> list[str]:
    """Return what else the law asks of a studio: in a line, or with its words and sources."""
    if not owed:
        return []
    if not full:
        said = "; ".join(f"{duty.place}: {duty.title}" for duty in owed)
        return wrapped(f"Beside the limits the law may ask more of a studio ({said}).", indent=0)
    lines = ["", "What else the law asks of a studio, as far as it was read"]
    for duty in owed:
        lines += wrapped(f"{duty.place}, {duty.title}. {duty.text} Source: {duty.source}.", hang=4)
    return [*lines, ""]


def _that_say_more(compared: Sequence[LabRow]) -> list[LabRow]:
    """Return the rows without those of another extraction than the text reads, where its own was measured too and they add nothing."""
    settled = {(row.document, row.jurisdiction) for row in compared if row.extraction == row.limit_extraction}
    return [
        row
        for row in compared
        if row.extraction == row.limit_extraction
        or row.standing == "over"
        or (row.document, row.jurisdiction) not in settled
    ]


def _compared(compared: Sequence[LabRow], words: Mapping[str, str], full: bool) -> list[str]:
    if not compared:
        return []
    rows = [["text".ljust(31), "status".ljust(19), "limit".rjust(11), "measured".rjust(10), " standing"]]
    below: list[list[str]] = [[]]
    star = " " if any(row.recalled for row in compared) else ""
    for row in compared:
        limit = f"{row.limit:g} {row.unit}{'*' if row.recalled else star}"
        rows.append([row.short_name, words[row.legal_status], limit, row.measured_text, f" {standing_words(row)}"])
        below.append([])
        if full:
            below[-1] += wrapped(f"{row.document}. {row.note}.", indent=6, hang=8)
            below[-1] += wrapped(f"Source: {row.source}.", indent=6, hang=8)
    return table(rows, left=(0, 1, 4), gap=1, below=below, narrowest=22)


def standing_words(row: LabRow) -> str:
    """Return how a result stands to a limit, with what must be said beside it."""
    beside = []
    if row.standing == "over" and row.ratio is not None:
        small = "by less than 1 %" if row.ratio < 1.01 else f"{row.ratio:.3g}x"
        beside.append(small if row.ratio < 1.1 else f"{row.ratio:.2g}x" if row.ratio < 100 else f"{row.ratio:.0f}x")
    if row.further_sample:
        beside.append("further pieces")
    if row.close:
        beside.append("within lab error")
    if row.extraction is not None and row.extraction != row.limit_extraction:
        beside.append(f"{EXTRACTIONS[row.extraction]} extraction")
    words = f"{row.standing} ({', '.join(beside)})" if beside else row.standing
    return f"{words}, {row.pieces} of {row.pieces_asked}" if row.pieces < row.pieces_asked else words


def _later(result: ReleaseResult) -> str:
    return f" ({EXTRACTIONS[result.extraction]} extraction)" if result.extraction != 1 else ""
