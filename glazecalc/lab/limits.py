"""The texts that release results are compared with: limits by class of ware, sampling rules, borrowed figures, and what a test can tell.

A jurisdiction is one or more schemes and a place in ``food_limits.yaml``, and nothing else; a borrowed figure stands in
``food_limits_comparators.yaml``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from glazecalc.caution.thresholds import Threshold
from glazecalc.display import RECALLED
from glazecalc.errors import GlazeError, did_you_mean
from glazecalc.files.shipped import cite, load_data, read_entry, read_mapping, read_one
from glazecalc.frozen import FrozenDict
from glazecalc.release import EXTRACTIONS, Extraction

_FILE = "food_limits.yaml"
_BORROWED = "food_limits_comparators.yaml"
NO_CLASS = "none"
"""The class of ware that a text does not hold for."""


def exact(number: float | int) -> Fraction:
    """Return a number of the data as it is written, 0.07 as 7/100."""
    return Fraction(str(number))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """A bound of a size; one of the four is given."""

    at_most: float | None = None
    below: float | None = None
    at_least: float | None = None
    above: float | None = None

    @property
    def figure(self) -> float:
        """The figure that is given."""
        given = (self.at_most, self.below, self.at_least, self.above)
        return next(figure for figure in given if figure is not None)

    def holds(self, size: Fraction) -> bool:
        """Return True where the size keeps the bound."""
        limit = exact(self.figure)
        if size == limit:
            return self.at_most is not None or self.at_least is not None
        return (size < limit) == (self.at_most is not None or self.below is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassLine:
    """One line of a table of classes: the class of a piece for which all its conditions hold."""

    name: str  # `NO_CLASS` where the text does not hold
    label: str = ""  # in words
    wares: tuple[str, ...] = ()  # kinds of ware that it is for; empty for all
    depth_mm: Bound | None = None
    volume_l: Bound | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplingRule:
    """How many pieces a text asks for, and what it makes of them."""

    # further_sample: a piece that is over by no more than `over_at_most`, a share of the limit, may be made good by more
    kind: Literal["mean", "each", "further_sample"]
    pieces: int
    text: str  # the rule in words
    further_pieces: int = 0
    over_at_most: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LegalText:
    """Whose text on one element, and which."""

    jurisdiction: str
    document: str
    legal_status: str  # a key of `status_words`
    element: str  # symbol
    short_name: str  # its name in a table


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A figure of a text."""

    value: float
    unit: str
    rule: SamplingRule
    extraction: Extraction = 1  # which filling with fresh acid the text reads
    extraction_found: bool = False  # False where the text read does not say, and the first is taken
    source: str  # where it was read, with memory marks
    memory: str = ""  # the words that say that it is recalled; empty where it was read


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """The limits of one text for one element."""

    id: str
    where: str  # the place where it holds
    text: LegalText
    wares: tuple[str, ...] = ()  # kinds of ware that it is for; empty for all
    lines: tuple[ClassLine, ...] = ()  # how the text sorts ware
    limits: Mapping[str, Limit]  # class of ware -> Limit
    not_applied: str = ""  # why no release result can be compared with it; `limit` and `unit` are then its figure
    limit: float | None = None  # None where it was not found
    unit: str | None = None
    note: str = ""
    rule_memory: str = ""  # the text whose sampling rule is recalled; empty where it was read
    source: str  # where it was read, with memory marks


@dataclass(frozen=True, slots=True, kw_only=True)
class Borrowed:
    """A figure borrowed from another field."""

    text: LegalText
    kind: str  # the field, e.g. ``"drinking water"``
    limit: Limit
    note: str = ""
    earlier: tuple[tuple[float, str], ...] = ()  # what earlier editions had where it was another


@dataclass(frozen=True, slots=True, kw_only=True)
class Precision:
    """How far laboratories and pieces differ."""

    between_laboratories_mg_per_l: Mapping[
        str, float
    ]  # element -> standard deviation of what lies between laboratories [mg/L]
    reproducibility_mg_per_l: Mapping[
        str, float
    ]  # element -> standard deviation of one result of any laboratory [mg/L]
    pieces_vary_percent: Mapping[str, int]  # typical, low and high coefficient of variation in a lot
    source: str


@cache
def places() -> Mapping[str, tuple[str, ...]]:
    """Return what a place is asked by -> the places whose texts hold there."""
    return FrozenDict({name: tuple(among) for name, among in load_data(_FILE)["places"].items()})


def place_name(text: str) -> str:
    """Return a place as the data spells it: ``United-Kingdom`` is ``united kingdom``."""
    return " ".join(text.replace("-", " ").replace("_", " ").lower().split())


@cache
def sampling_rules() -> Mapping[str, SamplingRule]:
    """Return the sampling rules by name."""
    return read_mapping(SamplingRule, _FILE, "rules")


@cache
def class_lines(name: str) -> tuple[ClassLine, ...]:
    """Return one table of classes; a line without a label of its own goes by its name."""
    entries = load_data(_FILE)["classes"][name]["lines"]
    return tuple(read_entry(ClassLine, {"label": entry["name"], **entry}, f"{_FILE}: {name}") for entry in entries)


@cache
def schemes() -> tuple[Scheme, ...]:
    """Return the limits of every text, in the order of the data."""
    return tuple(_scheme(entry) for entry in load_data(_FILE)["schemes"])


# What the entry of a scheme says of its text, and of its limits by class.
_OF_TEXT = ("jurisdiction", "document", "legal_status", "element")
_OF_LIMITS = ("short", "classes", "rule", "rule_by_class", "unit_by_class", "extraction", "limits", "limit_memory")


def _scheme(entry: Mapping[str, Any]) -> Scheme:
    where = f"{_FILE}: {entry['id']}"
    _known(entry["legal_status"], status_words(), "legal status", where)
    _known(entry["where"], {place for among in places().values() for place in among}, "place", where)
    short_name = entry.get("short", entry["jurisdiction"])
    return read_entry(
        Scheme,
        {key: value for key, value in entry.items() if key not in (*_OF_TEXT, *_OF_LIMITS)},
        where,
        text={key: entry[key] for key in _OF_TEXT if key in entry} | {"short_name": short_name},
        lines=class_lines(entry["classes"]) if "classes" in entry else (),
        limits={name: _limit(entry, name, where) for name in entry.get("limits", ())},
    )


def _limit(entry: Mapping[str, Any], name: str, where: str) -> Limit:
    recalled = entry.get("limit_memory", {}).get(name)
    provenance = {"from_memory": True, **recalled} if recalled else entry
    rule = entry.get("rule_by_class", {}).get(name, entry["rule"])
    return Limit(
        value=float(entry["limits"][name]),
        unit=entry.get("unit_by_class", {}).get(name, entry["unit"]),
        rule=_known(rule, sampling_rules(), "sampling rule", where),
        extraction=_known(entry.get("extraction", 1), tuple(EXTRACTIONS), "extraction", where),
        extraction_found="extraction" in entry,
        source=cite(provenance),
        memory=_memory(provenance),
    )


def _known(name: Any, among: Any, what: str, where: str) -> Any:
    """Return what `among` holds by this name, or an error that names the slip in the data."""
    if name not in among:
        raise GlazeError(f"'{name}' is not a {what}.", did_you_mean(str(name), map(str, among)), where)
    return among[name] if isinstance(among, Mapping) else name


def _memory(entry: Mapping[str, Any]) -> str:
    return f"figure {RECALLED}; confidence {entry['confidence']}" if entry.get("from_memory") else ""


@cache
def borrowed_figures() -> tuple[Borrowed, ...]:
    """Return the borrowed figures that are in force, in the order of the data."""
    entries = load_data(_BORROWED)["comparators"]
    in_force = (entry for entry in entries if "superseded_by" not in entry)
    return tuple(_borrowed(entry, element, entries) for entry in in_force for element in entry["values"])


def _borrowed(entry: Mapping[str, Any], element: str, entries: list[Mapping[str, Any]]) -> Borrowed:
    document, figure = entry["document"], entry["values"][element]
    own = "source" in figure or figure.get("from_memory")
    limit = read_entry(
        Limit,
        figure,
        f"{_BORROWED}: {document}: {element}",
        unit=entry["unit"],
        rule=sampling_rules()["each"],
        source=cite(figure if own else entry),
        memory=_memory(figure),
    )
    before = {
        other["document"]: other["values"][element]["value"]
        for other in entries
        if other.get("superseded_by") == document and element in other["values"]
    }
    text = LegalText(
        jurisdiction=f"borrowed: {entry['kind']}", document=document, legal_status="comparator", element=element,
        short_name=document,
    )  # fmt: skip
    earlier = tuple((old, other) for other, old in before.items() if old != figure["value"])
    return Borrowed(text=text, kind=entry["kind"], limit=limit, note=figure.get("note", ""), earlier=earlier)


@cache
def precision() -> Precision:
    """Return how far laboratories and pieces differ."""
    return read_one(Precision, _FILE, "precision")


@cache
def few_pieces() -> Threshold:
    """Return the number of pieces below which a result tells little of the lot."""
    return read_one(Threshold, _FILE, "few_pieces")


def deep_by_nature() -> tuple[str, ...]:
    """Return the kinds of ware that are taken as deep where their depth is not given."""
    return tuple(load_data(_FILE)["deep_by_nature"]["wares"])


def always_reported() -> tuple[str, ...]:
    """Return the elements that every report names, measured or not."""
    return tuple(load_data(_FILE)["always"])


def status_words() -> Mapping[str, str]:
    """Return the words of each legal status."""
    return FrozenDict(load_data(_FILE)["legal_status_words"])


def checked_on() -> str:
    """Return the month in which the texts were last looked up."""
    return str(load_data(_FILE)["checked_on"])
