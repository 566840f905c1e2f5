"""Laboratory results laid against the limits of each jurisdiction, with what could not be applied and why.

Every row says what the text says, whether it is law, and how far the result lies from it. No row is a verdict on the ware.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar

from glazecalc.caution.thresholds import cite
from glazecalc.display import Shown
from glazecalc.errors import Notice
from glazecalc.files.shipped import load_data
from glazecalc.lab.rules import CANNOT_SHOW, OVER, UNDER, Judgement, Reading, classify, exact, judge
from glazecalc.release import ELEMENTS, RELEASE_UNITS, ReleaseResult, Ware, convert

__all__ = ("PLACES", "LabReport", "LabRow", "lab_report")

# --where name -> the places whose texts it shows
PLACES: Mapping[str, tuple[str, ...]] = {
    "us": ("us",),
    "california": ("california", "us"),
    "canada": ("canada",),
    "eu": ("eu",),
    "germany": ("germany", "eu"),
    "france": ("france", "eu"),
    "denmark": ("denmark", "eu"),
    "norway": ("norway", "eu"),
    "iso": ("iso",),
    "japan": ("japan",),
    "china": ("china",),
    "australia": ("australia",),
    "comparators": ("comparators",),
}
_LIMITED = ("Pb", "Cd")
_NOT_IN_RESULTS = "not in the results"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabRow:
    """One element against one text.

    Attributes
    ----------
    jurisdiction, document : str
        Whose text, and which.
    legal_status : str
        legal_limit, legal_limit_where_adopted, enforcement_guideline, warning_threshold, voluntary_standard, recommendation,
        proposal or comparator.
    element : str
        Symbol.
    limit : float or None
        As the text has it, in `unit`; None where the figure was not found or the class of the ware cannot be told.
    unit : str or None
        Unit of `limit`, `measured` and `measured_text`.
    measured : float or None
        The number held against the limit by the text's own rule: a mean, or the piece that decides; the bound where `below`.
    below : bool
        True where `measured` is a bound of detection.
    measured_text : str
        The same as printed, with ``<`` where `below`; no more digits than the laboratory gave.
    ratio : float or None
        `measured` over `limit`; of the bound where `below`.
    applies : bool
        False where the text could not be applied to this ware and these results, or is not for ceramics; `note` says why.
    note : str
        Class, sampling rule, conversion and standing in words.
    standing : str
        under, at, over, cannot show, or empty where nothing was compared.
    ware_class : str
        The class of the ware in this text.
    source : str
        Where the figure was read, with memory marks.
    pieces, pieces_asked : int
        How many pieces were measured, and how many the text asks for; 0 where nothing was compared.
    short_name : str
        Its name in a table: whose text it is, or the document of a borrowed figure.
    close : bool
        True where two laboratories may differ by as much as lies between the result and the limit.
    why_not_applied : str
        Why the text could not be applied; empty where it was.
    """

    jurisdiction: str
    document: str
    legal_status: str
    element: str
    limit: float | None
    unit: str | None
    measured: float | None
    below: bool
    measured_text: str
    ratio: float | None
    applies: bool
    note: str
    standing: str = ""
    ware_class: str = ""
    source: str = ""
    pieces: int = 0
    pieces_asked: int = 0
    short_name: str = ""
    close: bool = False
    why_not_applied: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabReport(Shown):
    """All rows for one piece of ware and one file of results."""

    PAGE: ClassVar[str] = "lab"
    JSON: ClassVar[tuple[str, ...]] = ("ware", "rows", "notices")

    ware: Ware
    results: tuple[ReleaseResult, ...]
    rows: tuple[LabRow, ...]
    notices: tuple[Notice, ...]


def lab_report(results: Sequence[ReleaseResult], ware: Ware, *, where: Collection[str] = ()) -> LabReport:
    """Lay release results against the limits of each jurisdiction.

    Parameters
    ----------
    results : sequence of ReleaseResult
        From `read_release_results`; one or many pieces.
    ware : Ware
        What was tested. Depth and volume choose the class; area and volume let mg/L and mg/dm2 be turned into each other.
    where : collection of str
        Keys of `PLACES`; all where empty.

    Returns
    -------
    LabReport
        Rows in the order of the results' elements (lead and cadmium first) and of the data; texts that could not be applied are
        kept with their reason.
    """
    wanted = {place for name in where for place in PLACES[name]}
    rows: list[LabRow] = []
    elements = list(dict.fromkeys([*_LIMITED, *(result.element for result in results)]))
    for element in elements:
        mine = [result for result in results if result.element == element]
        for scheme in load_data("food_limits.yaml")["schemes"]:
            if scheme["element"] != element or (wanted and scheme["where"] not in wanted):
                continue
            row = _scheme_row(scheme, mine, ware)
            if row is not None:
                rows.append(row)
        if mine and element not in _LIMITED and (not wanted or "comparators" in wanted):
            rows.extend(_comparator_rows(element, mine, ware))
    return LabReport(ware=ware, results=tuple(results), rows=tuple(rows), notices=tuple(_notices(results, rows, ware)))


def _scheme_row(scheme: Mapping[str, Any], results: Sequence[ReleaseResult], ware: Ware) -> LabRow | None:
    if "wares" in scheme and ware.kind not in scheme["wares"]:
        return None
    if "not_applied" in scheme:
        if not results:
            return None
        return _bare_row(scheme, scheme.get("limit"), scheme.get("unit"), scheme["not_applied"])
    data = load_data("food_limits.yaml")
    found = classify(data["classes"][scheme["classes"]]["lines"], ware)
    if found.missing:
        return _bare_row(scheme, None, None, f"the class of the ware cannot be told: {found.missing} is needed")
    if found.name is None:
        if not results:
            return None
        only = ", ".join(scheme["limits"])
        return _bare_row(scheme, None, None, f"holds for {only} only; this ware is not of that class")
    limit = scheme["limits"][found.name]
    unit = scheme.get("unit_by_class", {}).get(found.name, scheme["unit"])
    rule = data["rules"][scheme.get("rule_by_class", {}).get(found.name, scheme["rule"])]
    if not results:
        return _bare_row(scheme, limit, unit, f"{ELEMENTS[scheme['element']]} is {_NOT_IN_RESULTS}", found.label)
    readings, how = _readings(results, unit, ware)
    if not readings:
        return _bare_row(scheme, limit, unit, how, found.label)
    judged = judge(rule, readings, exact(limit))
    memory = f"sampling rule from memory ({scheme['rule_memory']})" if "rule_memory" in scheme else ""
    close = _close_call(scheme["element"], judged, limit, unit)
    note = _join(
        _standing_words(judged, exact(limit)),
        found.label + (f" ({found.assumed})" if found.assumed else ""),
        f"rule: {rule['text']} ({judged.pieces} measured)",
        judged.note,
        how,
        close,
        scheme.get("note", ""),
        memory,
        _memory_words(scheme, found.name),
    )
    return _compared_row(
        scheme,
        limit,
        unit,
        judged,
        note,
        results,
        applies=True,
        ware_class=found.label,
        source=_source(scheme, found.name),
        close=bool(close),
    )


def _compared_row(
    scheme: Mapping[str, Any], limit: float, unit: str, judged: Judgement, note: str, results: Sequence[ReleaseResult], *,
    applies: bool, ware_class: str, source: str, close: bool = False,
) -> LabRow:  # fmt: skip
    digits = min(_digits(result.text) for result in results if not judged.decides or result.piece == judged.decides)
    text = _printed(judged.measured, digits)
    if judged.below:
        text = f"<{text}"
    elif judged.lowest != judged.measured:
        text = f"{_printed(judged.lowest, digits)} to {text}"
    return LabRow(
        jurisdiction=scheme["jurisdiction"],
        document=scheme["document"],
        legal_status=scheme["legal_status"],
        element=scheme["element"],
        limit=float(limit),
        unit=unit,
        measured=float(judged.measured),
        below=judged.below,
        measured_text=text,
        ratio=float(judged.measured / exact(limit)),
        applies=applies,
        note=note,
        standing=judged.standing,
        ware_class=ware_class,
        source=source,
        pieces=judged.pieces,
        pieces_asked=judged.pieces_asked,
        short_name=_short_name(scheme),
        close=close,
    )


def _short_name(scheme: Mapping[str, Any]) -> str:
    return str(scheme.get("short", scheme["jurisdiction"]))


def _bare_row(
    scheme: Mapping[str, Any], limit: float | None, unit: str | None, why: str, ware_class: str = ""
) -> LabRow:
    return LabRow(
        jurisdiction=scheme["jurisdiction"],
        document=scheme["document"],
        legal_status=scheme["legal_status"],
        element=scheme["element"],
        limit=None if limit is None else float(limit),
        unit=unit,
        measured=None,
        below=False,
        measured_text="",
        ratio=None,
        applies=False,
        note=f"not applied: {why}",
        why_not_applied=why,
        short_name=_short_name(scheme),
        ware_class=ware_class,
        source=_source(scheme, ware_class),
    )


def _comparator_rows(element: str, results: Sequence[ReleaseResult], ware: Ware) -> list[LabRow]:
    entries = load_data("food_limits_comparators.yaml")["comparators"]
    earlier: dict[str, dict[str, float]] = {}
    for entry in entries:
        if "superseded_by" in entry and element in entry["values"]:
            earlier.setdefault(entry["superseded_by"], {})[entry["document"]] = entry["values"][element]["value"]
    rows = []
    for entry in entries:
        if "superseded_by" in entry or element not in entry["values"]:
            continue
        value = entry["values"][element]
        unit, limit = entry["unit"], value["value"]
        provenance = value if "source" in value or value.get("from_memory") else entry
        scheme = {
            "jurisdiction": f"borrowed: {entry['kind']}",
            "document": entry["document"],
            "legal_status": "comparator",
            "short": entry["document"],
            "element": element,
            **provenance,
        }
        note = f"borrowed from {entry['kind']}: not a limit for ceramics and settles nothing in law"
        readings, how = _readings(results, unit, ware)
        if not readings:
            rows.append(_bare_row(scheme, limit, unit, _join(how, note)))
            continue
        judged = judge({"kind": "each", "pieces": 1, "text": ""}, readings, exact(limit))
        before = earlier.get(entry["document"], {})
        moved = [f"{old:g} in {document}" for document, old in before.items() if old != limit]
        note = _join(note, value.get("note", ""), how, f"was {'; '.join(moved)}" if moved else "", _memory_of(value))
        rows.append(
            _compared_row(
                scheme, limit, unit, judged, note, results, applies=False, ware_class="", source=cite(provenance)
            )
        )
    return rows


def _readings(results: Sequence[ReleaseResult], unit: str, ware: Ware) -> tuple[list[Reading], str]:
    """Return one reading a piece in `unit`, and how it was come by; no reading where a size is missing."""
    per = RELEASE_UNITS[unit][0]
    readings: list[Reading] = []
    converted = False
    for piece in dict.fromkeys(result.piece for result in results):
        mine = sorted(
            (r for r in results if r.piece == piece), key=lambda r: r.per != per
        )  # a result that needs no sizes comes first
        value = convert(mine[0].value, mine[0].unit, unit, ware)
        if value is None:
            sizes = {"volume": "the volume", "area": "the area", "article": ""}
            missing = [
                sizes[p]
                for p in dict.fromkeys((mine[0].per, per))
                if sizes[p] and not (ware.volume_l if p == "volume" else ware.area_dm2)
            ]
            return [], f"{' and '.join(missing)} of the ware would turn {mine[0].unit} into {unit}"
        converted = converted or mine[0].per != per
        readings.append(Reading(piece=piece, value=value, below=mine[0].below))
    if not converted:
        return readings, ""
    sizes_used = [
        f"{float(ware.area_dm2):g} dm2" if ware.area_dm2 else "",
        f"{float(ware.volume_l):g} l" if ware.volume_l else "",
    ]
    return readings, f"converted with {' and '.join(size for size in sizes_used if size)}"


def _standing_words(judged: Judgement, limit: Fraction) -> str:
    if judged.standing == CANNOT_SHOW:
        return (
            "cannot show: the bound of detection lies above the limit"
            if judged.below
            else "cannot show: the limit lies inside what is left open"
        )
    if judged.standing == OVER:
        return f"over the limit, {float(judged.measured / limit):.3g} times"
    if judged.standing == UNDER:
        return "under the limit" + (" (below detection)" if judged.below else "")
    return "at the limit; texts differ on whether that counts as over"


def _close_call(element: str, judged: Judgement, limit: float, unit: str) -> str:
    precision = load_data("food_limits.yaml")["precision"]
    spread = precision["between_laboratories_mg_per_l"].get(element)
    per, factor = RELEASE_UNITS[unit]
    if spread is None or per != "volume" or judged.below:
        return ""
    if abs(float((judged.measured - exact(limit)) * factor)) > spread:
        return ""
    return f"close: two laboratories differ by {spread:g} mg/L (one standard deviation, ASTM C738)"


def _memory_words(scheme: Mapping[str, Any], name: str) -> str:
    recalled = scheme.get("limit_memory", {}).get(name)
    return _memory_of({"from_memory": True, **recalled}) if recalled else _memory_of(scheme)


def _memory_of(entry: Mapping[str, Any]) -> str:
    return f"figure from memory, confidence {entry['confidence']}" if entry.get("from_memory") else ""


def _source(scheme: Mapping[str, Any], name: str) -> str:
    recalled = scheme.get("limit_memory", {}).get(name)
    if recalled:
        return cite({"from_memory": True, **recalled})
    return cite({**scheme, "evidence": scheme.get("also", ())})


def _join(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _digits(text: str) -> int:
    """Return the significant digits of a number as written."""
    mantissa = text.lstrip("<≤=+- ").replace(",", ".").lower().split("e")[0].replace(".", "").lstrip("0")
    return len(mantissa) or 1


def _printed(value: Fraction, digits: int) -> str:
    """Return a number to so many significant digits (two at least, then without a nought at the end), never with an exponent."""
    if value == 0:
        return "0"
    number = float(value)
    places = max(digits, 2) - 1 - math.floor(math.log10(abs(number)))
    text = f"{round(number, places):.{max(0, places)}f}"
    return text.rstrip("0").rstrip(".") if digits < 2 and "." in text else text


def _notices(results: Sequence[ReleaseResult], rows: Sequence[LabRow], ware: Ware) -> list[Notice]:
    notices = []
    pieces = {result.piece for result in results}
    vary = load_data("food_limits.yaml")["precision"]["pieces_vary_percent"]
    if len(pieces) < 4:
        notices.append(
            Notice(
                "few-pieces",
                f"{len(pieces)} piece{'s' if len(pieces) > 1 else ''} measured: pieces of one lot vary by about {vary['typical']} % "
                f"({vary['low']} to {vary['high']} %), so this says little about the lot (ASTM C738).",
            )
        )
    if ware.kind == "cooking":
        notices.append(
            Notice(
                "cooking-ware-hot",
                "cooking ware is tested with boiling acid in the US (ASTM C1034); ask the laboratory how this result was got.",
            )
        )
    if ware.volume_l and ware.area_dm2 and ware.depth_mm:
        mean_depth = 100 * ware.volume_l / ware.area_dm2
        if mean_depth > ware.depth_mm:
            notices.append(
                Notice(
                    "sizes-disagree",
                    f"{float(ware.volume_l):g} l over {float(ware.area_dm2):g} dm2 stands {float(mean_depth):.3g} mm deep, more than the depth given "
                    f"({float(ware.depth_mm):g} mm): check area and volume.",
                )
            )
    met = {*_LIMITED, *(row.element for row in rows)}
    notices.extend(
        Notice("no-limit-found", f"no limit or figure for {ELEMENTS[element]} was found for the places asked.")
        for element in dict.fromkeys(result.element for result in results)
        if element not in met
    )
    notices.append(
        Notice(
            "result-of-one-glaze",
            "a result holds for this glaze, this firing and this shape: none carries over from a plate to a bowl, or to a new version of the glaze.",
        )
    )
    return notices
