"""Laboratory results compared with the limits of each jurisdiction, with what could not be applied and why.

Every row says what the text says, whether it is law, and how far the result lies from it. No row is a verdict on the ware.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from fractions import Fraction
from typing import ClassVar, Literal

from glazecalc.arguments import the_names
from glazecalc.display import BY_ROW, RECALLED, Shown, Tabular
from glazecalc.errors import ArgumentError, Notice, UnknownNameError, did_you_mean
from glazecalc.lab.duties import Duty, duties
from glazecalc.lab.limits import (
    Borrowed,
    LegalText,
    Limit,
    Scheme,
    always_reported,
    borrowed_figures,
    exact,
    few_pieces,
    place_name,
    places,
    precision,
    schemes,
)
from glazecalc.lab.measured import measured_text, readings_in, rising_pieces
from glazecalc.lab.rules import (
    CANNOT_SHOW,
    OVER,
    UNDER,
    Judgement,
    Standing,
    WareClass,
    classify,
    from_another_fill,
    joined,
    judge,
)
from glazecalc.release import ELEMENTS, EXTRACTIONS, RELEASE_UNITS, Extraction, ReleaseResult, Ware

__all__ = ("LabReport", "LabRow", "lab_report")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabRow(Shown):
    """One element against one text; what was compared is in `unit`, the unit of the limit."""

    jurisdiction: str
    document: str
    legal_status: str  # a key of `status_words`
    element: str  # symbol
    limit: float | None  # None where the figure was not found or the class of the ware cannot be told
    unit: str | None
    measured: float | None = (
        None  # by the text's own rule: a mean, or the piece that decides; the detection limit where `below`
    )
    below: bool = False  # True where `measured` is a detection limit
    measured_text: str = ""  # as printed: no more digits than the laboratory gave
    ratio: float | None = None  # `measured` over `limit`
    applies: bool = False  # False where it could not be applied or is not for ceramics; `note` says why
    note: str  # class, sampling rule, conversion and standing in words
    standing: Standing | Literal[""] = ""  # empty where nothing was compared
    extraction: Extraction | None = None  # which filling with acid was compared; None where nothing was
    limit_extraction: Extraction = 1  # which one the text reads; the first where it does not say
    ware_class: str = ""
    source: str = ""  # where the figure was read, with memory marks
    pieces: int = 0
    pieces_asked: int = 0
    short_name: str = ""  # in a table: whose text it is, or the document of a borrowed figure
    recalled: bool = False  # True where the figure or its sampling rule was not checked against the print
    close: bool = False  # True where two laboratories may differ by as much as lies between the result and the limit
    why_not_applied: str = ""

    @property
    def further_sample(self) -> bool:
        """True where a piece lies over the limit, and what the text then asks of more pieces is kept."""
        return self.standing == UNDER and self.ratio is not None and self.ratio > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class LabReport(Tabular):
    """All rows for one piece of ware and one file of results."""

    ROWS: ClassVar[str] = "rows"
    COLUMNS: ClassVar[Mapping[str, str]] = {
        "jurisdiction": "",
        "document": "",
        "short_name": "",
        "legal_status": "",
        "element": "",
        "limit": BY_ROW,
        "measured": BY_ROW,
        "measured_text": "",
        "unit": "",
        "below": "",
        "ratio": "times the limit",
        "standing": "",
        "applies": "",
        "ware_class": "",
        "extraction": "",
        "note": "",
    }
    PAGE: ClassVar[str] = "lab"
    JSON: ClassVar[tuple[str, ...]] = ("ware", "rows", "duties", "notices")

    ware: Ware
    results: tuple[ReleaseResult, ...]
    rows: tuple[LabRow, ...]
    duties: tuple[Duty, ...]  # what the places asked want of a maker beside keeping a limit
    notices: tuple[Notice, ...]

    def __repr__(self) -> str:
        return f"<LabReport of a {self.ware.kind}: {len(self.rows)} rows>"


def lab_report(results: Sequence[ReleaseResult], ware: Ware, *, where: str | Iterable[str] = ()) -> LabReport:
    """Compare release results with the limits of each jurisdiction.

    Parameters
    ----------
    results : sequence of ReleaseResult
        From `read_release_results`; one or many pieces.
    ware : Ware
        What was tested. Depth and volume choose the class; area and volume let mg/L and mg/dm2 be turned into each other.
    where : str or iterable of str
        Only the texts of these places, e.g. ``"germany"`` or ``"united kingdom"``; all by default.

    Returns
    -------
    LabReport
        Rows in the order of the results' elements (lead and cadmium first) and of the data; texts that could not be applied are
        kept with their reason.

    Raises
    ------
    ArgumentError
        For anything but results and a ware.
    UnknownNameError
        For a place that is not known.

    Examples
    --------
    >>> import glazecalc as gc
    >>> lead = gc.ReleaseResult(element="Pb", value=0.03, unit="mg/dm2")
    >>> report = gc.lab_report([lead], gc.Ware(kind="plate", depth_mm=18), where="eu")
    >>> row = report.rows[0]
    >>> row.document, row.limit, row.unit, row.standing
    ('Directive 84/500/EEC as amended by 2005/31/EC', 0.8, 'mg/dm2', 'under')
    """
    results = _checked(results, ware)
    wanted = _wanted(where)
    always = always_reported()
    rows: list[LabRow] = []
    for element in dict.fromkeys([*always, *(result.element for result in results)]):
        mine = [result for result in results if result.element == element]
        rises = bool(rising_pieces(mine))
        for scheme in schemes():
            if scheme.text.element == element and (not wanted or scheme.where in wanted):
                rows.extend(_scheme_rows(scheme, mine, ware, rises=rises))
        if mine and element not in always and (not wanted or "comparators" in wanted):
            for of in borrowed_figures():
                if of.text.element == element:
                    rows.extend(_borrowed_rows(of, mine, ware))
    owed = tuple(duty for duty in duties() if not wanted or duty.where in wanted)
    return LabReport(
        ware=ware, results=results, rows=tuple(rows), duties=owed, notices=tuple(_notices(results, rows, ware))
    )


def _checked(results: Iterable[ReleaseResult], ware: object) -> tuple[ReleaseResult, ...]:
    given = tuple(results) if isinstance(results, Iterable) else (None,)
    if isinstance(ware, Ware) and all(isinstance(result, ReleaseResult) for result in given):
        return given
    hint = "Write results, notices = gc.read_release_results('results.csv') and lab_report(results, gc.Ware(kind='plate'))."
    raise ArgumentError("release results, then the ware that was tested, were expected.", hint)


def _wanted(where: str | Iterable[str]) -> set[str]:
    known, names = places(), {name: place_name(name) for name in the_names(where)}
    for given, name in names.items():
        if name not in known:
            hint = did_you_mean(name, known) or f"Known: {', '.join(known)}."
            raise UnknownNameError(f"'{given}' is not a place whose texts are known here.", hint)
    return {place for name in names.values() for place in known[name]}


def _by_extraction(results: Sequence[ReleaseResult], asked: int) -> Iterator[tuple[Extraction, list[ReleaseResult]]]:
    """Yield the results of each extraction apart, those of the one that the text reads first: they are never averaged."""
    for extraction in sorted({result.extraction for result in results}, key=lambda fill: (fill != asked, fill)):
        yield extraction, [result for result in results if result.extraction == extraction]


def _scheme_rows(scheme: Scheme, results: Sequence[ReleaseResult], ware: Ware, *, rises: bool) -> Iterator[LabRow]:
    text = scheme.text
    if scheme.wares and ware.kind not in scheme.wares:
        return
    if scheme.not_applied:
        if results:
            yield _bare_row(text, scheme.not_applied, scheme.source, scheme.limit, scheme.unit)
        return
    found = classify(scheme.lines, ware)
    if found.missing:
        yield _bare_row(text, f"the class of the ware cannot be told: {found.missing} is needed", scheme.source)
    elif found.name is None:
        only = ", ".join(scheme.limits)
        if results:
            yield _bare_row(text, f"holds for {only} only; this ware is not of that class", scheme.source)
    else:
        limit = scheme.limits[found.name]
        if not results:
            why = f"{ELEMENTS[text.element]} is not in the results"
            yield _bare_row(text, why, limit.source, limit.value, limit.unit, found.label)
        for extraction, mine in _by_extraction(results, limit.extraction):
            yield _scheme_row(scheme, found, extraction, mine, ware, rises=rises)


def _scheme_row(
    scheme: Scheme,
    found: WareClass,
    extraction: Extraction,
    results: Sequence[ReleaseResult],
    ware: Ware,
    *,
    rises: bool,
) -> LabRow:
    text, limit = scheme.text, scheme.limits[found.name or ""]
    readings, how = readings_in(results, limit.unit, ware)
    if not readings:
        return _bare_row(text, how, limit.source, limit.value, limit.unit, found.label)
    held = judge(limit.rule, readings, exact(limit.value))
    judged = from_another_fill(held, extraction, limit.extraction, rises=rises)
    close = _close_call(text.element, judged, limit) if extraction == limit.extraction else ""
    note = joined(
        _standing_words(judged, exact(limit.value), same=extraction == limit.extraction),
        found.label + (f" ({found.assumed})" if found.assumed else ""),
        f"rule: {limit.rule.text} ({judged.pieces} measured)",
        judged.note,
        how,
        close,
        "" if limit.extraction_found else "which extraction the text reads was not found; the first is taken",
        scheme.note,
        f"sampling rule of {scheme.rule_memory}: {RECALLED}" if scheme.rule_memory else "",
        limit.memory,
    )
    row = _compared_row(text, limit, judged, extraction, results, note)
    recalled = bool(limit.memory or scheme.rule_memory)
    return replace(row, applies=True, ware_class=found.label, close=bool(close), recalled=recalled)


def _borrowed_rows(of: Borrowed, results: Sequence[ReleaseResult], ware: Ware) -> Iterator[LabRow]:
    for extraction, mine in _by_extraction(results, of.limit.extraction):
        yield _borrowed_row(of, extraction, mine, ware)


def _borrowed_row(of: Borrowed, extraction: Extraction, results: Sequence[ReleaseResult], ware: Ware) -> LabRow:
    limit = of.limit
    note = f"borrowed from {of.kind}: not a limit for ceramics and settles nothing in law"
    readings, how = readings_in(results, limit.unit, ware)
    if not readings:
        return _bare_row(of.text, joined(how, note), limit.source, limit.value, limit.unit)
    judged = from_another_fill(judge(limit.rule, readings, exact(limit.value)), extraction, limit.extraction)
    moved = "; ".join(f"{old:g} in {document}" for old, document in of.earlier)
    note = joined(note, judged.note, of.note, how, f"was {moved}" if moved else "", limit.memory)
    return _compared_row(of.text, limit, judged, extraction, results, note)


def _compared_row(
    text: LegalText,
    limit: Limit,
    judged: Judgement,
    extraction: Extraction,
    results: Sequence[ReleaseResult],
    note: str,
) -> LabRow:
    return LabRow(
        **asdict(text), limit=limit.value, unit=limit.unit, source=limit.source, note=note,
        measured=float(judged.measured), below=judged.below, measured_text=measured_text(judged, results),
        ratio=float(judged.measured / exact(limit.value)), standing=judged.standing,
        pieces=judged.pieces, pieces_asked=judged.pieces_asked, extraction=extraction, limit_extraction=limit.extraction,
        recalled=bool(limit.memory),
    )  # fmt: skip


def _bare_row(
    text: LegalText, why: str, source: str, limit: float | None = None, unit: str | None = None, ware_class: str = ""
) -> LabRow:
    note = f"not applied: {why}"
    return LabRow(
        **asdict(text), limit=limit, unit=unit, note=note, why_not_applied=why, ware_class=ware_class, source=source
    )


def _standing_words(judged: Judgement, limit: Fraction, *, same: bool) -> str:
    if judged.standing == CANNOT_SHOW:
        if not same:
            return "cannot show: the text reads another extraction"
        if judged.below:
            return "cannot show: the detection limit lies above the limit"
        return "cannot show: the limit lies inside what is left open"
    if judged.standing == OVER:
        return f"over the limit, {float(judged.measured / limit):.3g} times"
    if judged.standing == UNDER:
        return "under the limit" + (" (below detection)" if judged.below else "")
    return "at the limit, not over it"


def _close_call(element: str, judged: Judgement, limit: Limit) -> str:
    one = precision().reproducibility_mg_per_l.get(element)
    per, factor = RELEASE_UNITS[limit.unit]
    if one is None or per != "volume" or judged.below:
        return ""
    two = math.hypot(one, one)  # of the difference of two results, each with this standard deviation
    if abs(float((judged.measured - exact(limit.value)) * factor)) > two:
        return ""
    return f"close: two laboratories differ by {two:.2g} mg/L (one standard deviation, from {one:g} of each; ASTM C738)"


def _notices(results: Sequence[ReleaseResult], rows: Sequence[LabRow], ware: Ware) -> Iterator[Notice]:
    pieces, vary = len({result.piece for result in results}), precision().pieces_vary_percent
    if pieces < few_pieces().value:
        yield Notice(
            "few-pieces",
            f"{pieces} piece{'s' if pieces > 1 else ''} measured: pieces of one lot vary by about {vary['typical']} % "
            f"({vary['low']} to {vary['high']} %), so this says little about the lot (ASTM C738).",
        )
    if ware.kind == "cooking":
        said = "cooking ware is tested with boiling acid in the US (ASTM C1034); ask the laboratory how this result was got."
        yield Notice("cooking-ware-hot", said)
    volume, area, depth = ware.volume_l, ware.area_dm2, ware.depth_mm
    if volume and area and depth and 100 * volume / area > depth:
        yield Notice(
            "sizes-disagree",
            f"{float(volume):g} l over {float(area):g} dm2 stands {float(100 * volume / area):.3g} mm deep, more than the depth given "
            f"({float(depth):g} mm): check area and volume.",
        )
    fills = sorted({result.extraction for result in results})
    if len(fills) > 1:
        said = f"results of the {' and '.join(EXTRACTIONS[fill] for fill in fills)} extraction are kept apart and never averaged."
        yield Notice("extractions-apart", said)
    for (element, piece), (earlier, later) in rising_pieces(results).items():
        said = (
            f"{ELEMENTS[element]} of piece {piece}: the {EXTRACTIONS[later]} extraction released more than the {EXTRACTIONS[earlier]}. "
            "An earlier one then says nothing of a later one; look at the coat, and have it extracted again."
        )
        yield Notice("release-rises", said)
    met = {*always_reported(), *(row.element for row in rows)}
    for element in dict.fromkeys(result.element for result in results):
        if element not in met:
            said = f"no limit or figure for {ELEMENTS[element]} was found for the places asked."
            yield Notice("no-limit-found", said)
    said = "a result holds for this glaze, this firing and this shape: none carries over from a plate to a bowl, or to a new version of the glaze."
    yield Notice("result-of-one-glaze", said)
