"""The tests that settle what a recipe leaves open, for this glaze and this use."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal, get_args

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import codes
from glazecalc.caution.metals import metals
from glazecalc.caution.surface_rules import absorption_class
from glazecalc.caution.thresholds import Threshold
from glazecalc.display import Shown
from glazecalc.errors import ArgumentError
from glazecalc.files.shipped import cite, load_data, read_entry, read_one
from glazecalc.frozen import FrozenDict
from glazecalc.recipe import NOT_FOR_FOOD, USES, Use, unknown_use

if TYPE_CHECKING:
    from glazecalc.body import ClayBody

__all__ = ("Method", "PlannedTest", "methods", "metals_to_ask_for", "plan_tests")

_FILE = "test_methods.yaml"
Level = Literal["laboratory", "workshop", "bench"]
_LEVELS: tuple[Level, ...] = get_args(Level)


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A test that settles a caution."""

    key: str  # its name in the data
    name: str  # the standard, or the name of a bench test
    level: Level  # laboratory, workshop or bench; a bench test is a hint and shows nothing by itself
    finds: str  # what it finds, and how it goes in short
    pieces: str  # how many
    left_out_by: tuple[str, ...] = ()  # codes of cautions that leave it out
    source: str  # where it was read


@cache
def methods() -> Mapping[str, Method]:
    """Return the tests by their key, in the order of the data."""
    found = {}
    for key, entry in load_data(_FILE)["methods"].items():
        source = cite(entry) + (f" ({entry['memory']})" if "memory" in entry else "")
        found[key] = read_entry(Method, entry, f"{_FILE}: {key}", key=key, source=source)
    return FrozenDict(found)


@cache
def ask_for_above() -> Threshold:
    """Return from how much of a metal's oxide in the fired glaze on a release test is asked to report it [wt %]."""
    return read_one(Threshold, _FILE, "ask_for_above")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTest(Shown):
    """One test to do.

    Attributes
    ----------
    name : str
        The standard, or the name of a bench test.
    level : str
        laboratory, workshop or bench; a bench test is a hint and shows nothing by itself.
    finds, pieces : str
        What it finds and how it goes in short, and how many pieces it takes.
    why : str
        What in this glaze, use or body calls for it.
    """

    key: str
    name: str
    level: Level
    finds: str
    pieces: str
    why: str
    source: str


def plan_tests(
    cautions: Iterable[Caution],
    *,
    use: Use | None = None,
    body: ClayBody | None = None,
    fired: Mapping[str, float] | None = None,
) -> list[PlannedTest]:
    """Return the tests for this glaze and use: laboratory first, then workshop, then bench.

    Parameters
    ----------
    cautions : iterable of Caution
        What was found on the recipe; each that is more than a thing to know calls for its tests.
    use : str or None
        What the ware is for; None is read as food ware. ``"not-for-food"`` leaves out what only food ware needs.
    body : ClayBody, optional
        Its absorption chooses between thermal shock (vitreous) and the autoclave (porous); both between the two, and where it
        is not known.
    fired : FiredAnalysis, optional
        The fired analysis [wt %]; on food ware a release test is asked for every metal of concern that it holds.

    Returns
    -------
    list of PlannedTest

    Raises
    ------
    UnknownNameError
        For a use that is not known.
    ArgumentError
        For anything but cautions, such as a report.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials = gc.load_materials("materials")
    >>> report = gc.check(gc.read_recipe("recipes/rill-clear.txt"), materials)
    >>> tests = gc.plan_tests(report.cautions, use="plate")
    >>> tests[0].name, tests[0].why
    ('ASTM C738 or EN 1388-1', 'ware that holds food')
    """
    if use and use not in USES:
        raise unknown_use(use)
    if not isinstance(cautions, Iterable):
        hint = "Write plan_tests(report.cautions)."
        raise ArgumentError(f"the cautions are of type {type(cautions).__name__}; a list of them was expected.", hint)
    met = _met(cautions)
    reasons: defaultdict[str, list[str]] = defaultdict(list)
    asked = _asked_by(met)
    if use != NOT_FOR_FOOD:
        for key in load_data(_FILE)["always"]:
            reasons[key].append("ware that holds food")
        for key in load_data(_FILE)["by_use"].get(use or "plate", ()):
            reasons[key].append(f"use: {use}" if use else "use not given, read as a plate")
        asked |= _metals_in(fired or {})
    for code in met:
        for key in codes()[code].settled_by:
            reasons[key].append(code)
    if asked:
        from glazecalc.release import ELEMENTS

        names = dict.fromkeys(ELEMENTS[symbol.partition("(")[0]] for symbol in sorted(asked))
        reasons["release_other"] = [f"the glaze contains {', '.join(names)}: ask for {', '.join(sorted(asked))}"]
    _choose_crazing(reasons, body)
    planned = [
        PlannedTest(
            key=key, name=method.name, level=method.level, finds=method.finds, pieces=method.pieces,
            why="; ".join(reasons[key]), source=method.source,
        )
        for key, method in methods().items()
        if key in reasons and not set(met).intersection(method.left_out_by)
    ]  # fmt: skip
    return sorted(planned, key=lambda test: _LEVELS.index(test.level))


def metals_to_ask_for(cautions: Iterable[Caution], fired: Mapping[str, float]) -> tuple[str, ...]:
    """Return the elements beside lead and cadmium that a release test of food ware should report, in order of their signs."""
    return tuple(sorted(_asked_by(_met(cautions)) | _metals_in(fired)))


def _met(cautions: Iterable[Caution]) -> list[str]:
    return sorted({caution.code for caution in cautions if caution.severity is not Severity.KNOW})


def _asked_by(met: Iterable[str]) -> set[str]:
    return {codes()[code].ask_for for code in met} - {"", "Pb", "Cd"}


def _metals_in(fired: Mapping[str, float]) -> set[str]:
    """Return the metals that a release test of food ware is asked to report beside lead and cadmium, which it always does."""
    above = [metal for oxide, metal in metals().items() if fired.get(oxide, 0.0) > ask_for_above().value]
    return {metal.element for metal in above} - {"Pb", "Cd"}


def _choose_crazing(reasons: defaultdict[str, list[str]], body: ClayBody | None) -> None:
    """Let the body's absorption choose between thermal shock and the autoclave."""
    if "thermal_shock" not in reasons:
        return
    if body is None or body.absorption_percent is None:
        reasons["autoclave"].append("the absorption of the body is not known: C554 if vitreous, C424 if porous")
        return
    name = absorption_class(body.absorption_percent)
    why = f"{body.name} takes up {body.absorption_percent:g} % of water ({name})"
    if name == "nonvitreous":
        del reasons["thermal_shock"]
    else:
        reasons["thermal_shock"].append(why)
    if name != "vitreous":
        reasons["autoclave"].append(why)
