"""Recipes: what the potter wrote down, as values. How a file looks is the business of `glazecalc.files`."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import ClassVar, Literal, get_args

from glazecalc.cooling import check_cooling_field
from glazecalc.display import BY_ROW, Shown, Tabular
from glazecalc.errors import AmbiguousNameError, ArgumentError, ConeError, Notice, UnknownNameError, did_you_mean
from glazecalc.field_checks import FieldChecks
from glazecalc.heat import atmosphere_name, read_heat
from glazecalc.spelling import name_key, spelled_out
from glazecalc.units import MASS_UNITS

__all__ = ("NOT_FOR_FOOD", "USES", "Ingredient", "Recipe", "Use", "as_recipe", "misses_100", "unknown_use")

Use = Literal["plate", "bowl", "cup", "pitcher", "storage", "cooking", "not-for-food"]
USES: tuple[Use, ...] = get_args(Use)
"""What ware may be for, as cautions and laboratory limits tell it apart."""
NOT_FOR_FOOD: Use = "not-for-food"
_FROM_PARTS = "Write Recipe.from_parts('Harbour Black', {'whiting': 20, 'silica': 30})."


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient(Shown):
    """One line of a recipe, as it is written.

    Attributes
    ----------
    amount : float
        Zero or more.
    unit : str
        ``""`` for parts, ``"%"``, or a mass unit (``g``, ``kg``, ``oz``, ``lb``).
    addition : bool
        True for what goes on top of the base. An addition in ``%`` is per cent of the base total.
    line : int or None
        Line in the file (1-based); not part of equality.
    """

    material: str
    amount: float
    unit: str = ""
    addition: bool = False
    note: str = ""
    line: int | None = field(default=None, compare=False)

    def __str__(self) -> str:
        return f"{'+ ' if self.addition else ''}{self.material} {self.amount:.6g}{f' {self.unit}' if self.unit else ''}"

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Ingredient '{self.material}'")
        checks.text("material", self.material, required=True)
        amount = checks.number("amount", self.amount, 0, math.inf)
        if amount is None and not checks.faults:
            checks.wrong_type("amount", None, "a number")
        if self.unit not in ("", "%") and self.unit not in MASS_UNITS:
            checks.fault("unit", f"'unit' is '{self.unit}', which is not a mass.", "Use g, kg, oz, lb or %.")
        checks.flag("addition", self.addition)
        checks.text("note", self.note)
        checks.done()
        object.__setattr__(self, "amount", amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe(Tabular):
    """A glaze recipe: base ingredients, and additions on top of them.

    Attributes
    ----------
    ingredients : tuple of Ingredient
        The base before the additions.
    cone : str
        ``"6"``, ``"06"``, two cones between which it is fired (``"5-6"``), or a temperature in place of a cone (``"1240 C"``); it is
        read as a card says it: ``"^6"``, ``"cone six"``, ``"10R"`` (which gives the atmosphere too). A cone keeps its zero.
    atmosphere : str
        By its plain word: ``ox`` is ``"oxidation"``.
    cooling : str
        ``slow``, ``fast``, ``natural``, holds and rates, as `parse_cooling` of `glazecalc.cooling` reads them.
    body, use, version, based_on, notes : str
        As written; empty where not given.
    text, path : str
        The text and the file it was read from; not part of equality. Writing the text back changes nothing.
    notices : tuple of Notice
        What the reader found worth saying; not part of equality.
    """

    ROWS: ClassVar[str] = "ingredients"
    COLUMNS: ClassVar[Mapping[str, str]] = {"material": "", "amount": BY_ROW, "unit": "", "addition": "", "note": ""}
    PAGE: ClassVar[str] = "recipe"

    name: str = ""
    ingredients: tuple[Ingredient, ...] = ()
    cone: str = ""
    atmosphere: str = ""
    cooling: str = ""
    body: str = ""
    use: str = ""
    version: str = ""
    based_on: str = ""
    notes: str = ""
    text: str = field(default="", compare=False, repr=False)
    path: str = field(default="", compare=False)
    notices: tuple[Notice, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        checks = FieldChecks(f"Recipe '{self.name}'" if self.name else "Recipe")
        for name in ("name", "atmosphere", "body", "version", "based_on", "notes"):
            checks.text(name, getattr(self, name), lines=name == "notes")
        for name in ("text", "path"):  # what stands in them is shown nowhere as it is
            if not isinstance(getattr(self, name), str):
                checks.wrong_type(name, getattr(self, name), "a text")
        for name, value in _firing_fields(self, checks).items():
            object.__setattr__(self, name, value)
        object.__setattr__(self, "cooling", check_cooling_field(self.cooling, checks))
        if self.use != "" and self.use not in USES:
            error = unknown_use(self.use)
            checks.fault("use", f"'use': {error.message}", error.hint)
        lines = self.ingredients if isinstance(self.ingredients, list | tuple) else [None]
        if not all(isinstance(line, Ingredient) for line in lines):
            checks.wrong_type("ingredients", self.ingredients, "a list of Ingredient", _FROM_PARTS)
        elif wrong_units := _wrong_units(self.ingredients):
            checks.fault("ingredients", f"'ingredients': {wrong_units}", "Give all lines in one way.")
        checks.done()
        object.__setattr__(self, "ingredients", tuple(sorted(self.ingredients, key=lambda line: line.addition)))

    @property
    def base(self) -> tuple[Ingredient, ...]:
        """The ingredients of the base."""
        return tuple(item for item in self.ingredients if not item.addition)

    @property
    def additions(self) -> tuple[Ingredient, ...]:
        """The additions on top of the base."""
        return tuple(item for item in self.ingredients if item.addition)

    @property
    def has_mass_units(self) -> bool:
        """True where the amounts are real weights; `amounts` are then grams."""
        return any(item.unit in MASS_UNITS for item in self.ingredients)

    def amounts(self) -> list[float]:
        """Return the amount of each ingredient in parts, or in grams where there are mass units; per cents worked out."""
        measured = [float(item.amount * MASS_UNITS.get(item.unit, 1)) for item in self.ingredients]
        pairs = list(zip(self.ingredients, measured, strict=True))
        base_total = math.fsum(amount for item, amount in pairs if not item.addition)
        return [
            item.amount / 100.0 * base_total if item.addition and item.unit == "%" else amount for item, amount in pairs
        ]

    @property
    def base_total(self) -> float:
        """Sum of the base, in parts or grams."""
        return self._total(addition=False)

    @property
    def additions_total(self) -> float:
        """Sum of the additions, in parts or grams."""
        return self._total(addition=True)

    @property
    def all_in_total(self) -> float:
        """Base and additions together, in parts or grams."""
        return math.fsum(self.amounts())

    def _total(self, *, addition: bool) -> float:
        pairs = zip(self.ingredients, self.amounts(), strict=True)
        return math.fsum(amount for item, amount in pairs if item.addition is addition)

    def with_amount(self, material: str, amount: float) -> Recipe:
        """Return the recipe with another amount of one of its lines, in the unit that the line has.

        Names are matched on the recipe's own, as they are spelled there; what is not in it is an UnknownNameError, and what stands
        on several lines an AmbiguousNameError.

        >>> Recipe.from_parts("Clear", {"silica": 30, "whiting": 20}).with_amount("Silica", 25).amounts()
        [25.0, 20.0]
        """
        line = self._line(material)
        return self._with(replace(item, amount=amount) if item is line else item for item in self.ingredients)

    def without(self, *materials: str) -> Recipe:
        """Return the recipe without some of its lines; the amounts of the others stay.

        >>> Recipe.from_parts("Clear", {"silica": 30, "talc": 5, "whiting": 20}).without("talc").base_total
        50.0
        """
        gone = [self._line(material) for material in materials]
        return self._with(item for item in self.ingredients if not any(item is line for line in gone))

    def swap(self, old: str, new: str) -> Recipe:
        """Return the recipe with another material in place of one of its own; the amount stays.

        >>> Recipe.from_parts("Clear", {"potash feldspar": 50}).swap("potash feldspar", "soda feldspar").base[0].material
        'soda feldspar'
        """
        line = self._line(old)
        return self._with(replace(item, material=new) if item is line else item for item in self.ingredients)

    def add(self, material: str, amount: float, *, addition: bool = False, unit: str = "") -> Recipe:
        """Return the recipe with one line more, in the base or on top of it.

        >>> Recipe.from_parts("Clear", {"silica": 60, "whiting": 40}).add("tin oxide", 5, addition=True).all_in_total
        105.0
        """
        return self._with(
            (*self.ingredients, Ingredient(material=material, amount=amount, unit=unit, addition=addition))
        )

    def scaled_to(self, base_total: float) -> Recipe:
        """Return the recipe with every amount in proportion, so that the base has this total [parts, or grams where it has units].

        >>> Recipe.from_parts("Clear", {"silica": 30, "whiting": 20}, {"tin oxide": 2}).scaled_to(100).amounts()
        [60.0, 40.0, 4.0]
        """
        if not (self.base_total > 0 and 0 < base_total < math.inf):
            raise ArgumentError(
                f"a base of {self.base_total:g} cannot be scaled to {base_total}.", "Give a total above zero."
            )
        factor = base_total / self.base_total
        percent = [item.unit == "%" and item.addition for item in self.ingredients]
        return self._with(
            item if kept else replace(item, amount=item.amount * factor)
            for item, kept in zip(self.ingredients, percent, strict=True)
        )

    def named(self, name: str) -> Recipe:
        """Return the recipe under another name: a tweak that is to stand beside what it came from.

        >>> Recipe.from_parts("Clear", {"silica": 30, "whiting": 20}).with_amount("silica", 25).named("Clear, 25 silica").name
        'Clear, 25 silica'
        """
        return replace(self, name=name, text="", notices=())

    def _with(self, items: Iterable[Ingredient]) -> Recipe:
        return replace(self, ingredients=tuple(items), text="", notices=())

    def _line(self, material: str) -> Ingredient:
        """Return the line that a name means, spelling folded."""
        keys = {spelled_out(name_key(material)): None, name_key(material): None}
        found = [i for i in self.ingredients if {name_key(i.material), spelled_out(name_key(i.material))} & keys.keys()]
        names = [item.material for item in self.ingredients]
        if not found:
            hint = did_you_mean(material, names) or f"It has {', '.join(names)}."
            raise UnknownNameError(f"'{material}' is no line of the recipe.", hint)
        if len(found) > 1:
            raise AmbiguousNameError(f"'{material}' stands on {len(found)} lines of the recipe.", "Add them up first.")
        return found[0]

    @classmethod
    def from_parts(
        cls, name: str, base: Mapping[str, float], additions: Mapping[str, float] | None = None, *, cone: str = ""
    ) -> Recipe:
        """Build a recipe from mappings of material name -> parts."""
        lines: list[Ingredient] = []
        for argument, parts in (("base", base), ("additions", additions or {})):
            if not isinstance(parts, Mapping):
                message = f"'{argument}' is {parts!r}; a mapping of material name to parts was expected."
                raise ArgumentError(message, _FROM_PARTS)
            lines += [Ingredient(material=m, amount=a, addition=argument == "additions") for m, a in parts.items()]
        return cls(name=name, ingredients=tuple(lines), cone=cone)


def _firing_fields(given: Recipe, checks: FieldChecks) -> dict[str, str]:
    """Return cone and atmosphere by their plain names; what stands behind the cone (``6 ox``) is the atmosphere."""
    known = atmosphere_name(given.atmosphere) if isinstance(given.atmosphere, str) else ""
    if given.cone == "":
        return {"atmosphere": known}
    try:
        heat, said = read_heat(given.cone)
    except ConeError as error:
        checks.fault("cone", f"'cone': {error.message}", error.hint)
        return {}
    if said and known and said != known:
        checks.fault("cone", f"'cone' says {said} and 'atmosphere' {known[:40]}.", "Keep one.")
    return {"cone": heat.label, "atmosphere": known or said}


def as_recipe(given: Recipe | Mapping[str, float]) -> Recipe:
    """Return a recipe; a mapping of material name -> parts becomes one without additions."""
    return given if isinstance(given, Recipe) else Recipe.from_parts("", given)


def unknown_use(given: object) -> UnknownNameError:
    """Return the error for what is none of `USES`."""
    hint = did_you_mean(str(given), USES) or f"Known: {', '.join(USES)}."
    return UnknownNameError(f"'{given}' is not a use of the ware.", hint)


def _wrong_units(ingredients: Sequence[Ingredient]) -> str:
    """Return what is wrong with the units of the lines taken together, or an empty text."""
    masses = [i for i in ingredients if i.unit in MASS_UNITS]
    bare = [i for i in ingredients if i.unit == ""]
    percent_base = [i for i in ingredients if i.unit == "%" and not i.addition]
    if masses and bare:
        return (
            f"some lines have a unit ({masses[0].material} {masses[0].amount:g} {masses[0].unit}) and some have none "
            f"({bare[0].material} {bare[0].amount:g})."
        )
    if masses and percent_base:
        return f"the base mixes weights ({masses[0].material}) and per cent ({percent_base[0].material})."
    if percent_base and any(not i.addition for i in bare):
        return f"the base mixes per cent ({percent_base[0].material}) and bare numbers."
    return ""


def misses_100(recipe: Recipe) -> bool:
    """Return True where the base is in parts that do not total 100; a rounded list may be 0.05 off."""
    return not recipe.has_mass_units and abs(recipe.base_total - 100) > 0.05
