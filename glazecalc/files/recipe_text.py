"""Plain-text recipes: read as a potter types them, written back byte for byte.

A first line without an amount is the title; ``#`` starts a comment, ``+`` (or ``add:``) an addition; ``cone 6 ox``,
``use: plate``, ``total 98`` and the like stand on lines of their own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from glazecalc.cones import parse_cone
from glazecalc.errors import ConeError, Fault, FileFaultsError, LineError, Notice
from glazecalc.files.fields import make
from glazecalc.files.recipe_lines import looks_like_amount, number_text, parse_line
from glazecalc.recipe import USES, Ingredient, Recipe, unknown_use

__all__ = ("atmosphere_name", "format_recipe_text", "parse_recipe_text", "split_title")

_ATMOSPHERES = {
    "ox": "oxidation", "oxidation": "oxidation", "oxidising": "oxidation", "oxidizing": "oxidation", "red": "reduction", "redn": "reduction",
    "reduction": "reduction", "reducing": "reduction", "neutral": "neutral", "salt": "salt", "soda": "soda", "wood": "wood", "raku": "raku",
}  # fmt: skip
_CONE = re.compile(
    r"(?:\bcones?\b\s*:?\s*|(?<![\w^])[\^Δ△]\s*|\bc/)(?P<cone>0{0,2}\d{1,2}(?:\.5|\s?½)?(?:\s*(?:[-–/]|to)\s*0{0,2}\d{1,2}\b)?)"
    r"(?![\d.,])\s*(?P<rest>[A-Za-z]*)\.?",
    re.IGNORECASE,
)
_FIELD = re.compile(
    r"(?P<key>name|title|glaze|cone|atmosphere|firing|body|clay body|use|version|based on|notes?)\s*[:=]\s*(?P<value>.*)\Z",
    re.IGNORECASE,
)
_TOTAL = re.compile(r"(?:grand\s+|sub)?totals?\s*[:=]?\s*(?P<rest>.*)\Z", re.IGNORECASE)
_HEADING = re.compile(
    r"(?P<what>base|recipe|ingredients|materials|additions?|add|plus|on top)\s*:?\s*\Z", re.IGNORECASE
)
_BULLET = re.compile(r"[*•·–—]\s*|-\s+(?=[^\W\d])")
_MOST_LINES = 2000
_TOTAL_SLACK, _TOTAL_SLACK_SHARE = 0.051, 0.001  # a total is often printed rounded; this program's own choice


def atmosphere_name(text: str) -> str:
    """Return the plain word for an atmosphere: ``ox`` is ``oxidation``; another word stays as it is."""
    return _ATMOSPHERES.get(text.strip().lower(), text.strip())


@dataclass(slots=True)
class _Draft:
    """What the reading of a text has found so far."""

    values: dict[str, str] = field(default_factory=dict)
    ingredients: list[Ingredient] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    totals: list[tuple[int, float, str]] = field(default_factory=list)
    in_additions: bool = False


def split_title(text: str) -> tuple[str, str, str]:
    """Split ``Harbour Black   cone 6 ox`` into name, cone and atmosphere."""
    match = _CONE.search(text)
    if not match:
        return text.strip(), "", ""
    cone = match["cone"]
    rest = match["rest"].lower()
    atmosphere = _ATMOSPHERES.get(rest, "")
    after = text[match.end() :] if atmosphere or not rest else text[match.start("rest") :]
    name = f"{text[: match.start()].rstrip(' ,;:(-')} {after.strip(' ,;:)-')}".strip()
    return name, cone, atmosphere


def parse_recipe_text(text: str, path: str = "") -> Recipe:
    """Read a plain-text recipe.

    Parameters
    ----------
    text : str
        The text; a byte order mark, Windows line ends and tabs are fine.
    path : str
        Its name, for messages.

    Returns
    -------
    Recipe
        With `text` kept whole and `notices` for what was read with care.

    Raises
    ------
    FileFaultsError
        With every line that cannot be read.
    """
    draft = _Draft()
    lines = re.split(r"\r\n|\r|\n", text.lstrip("\ufeff"))
    if len(lines) > _MOST_LINES:
        raise FileFaultsError(
            path or "the recipe", [Fault(None, f"the recipe has more than {_MOST_LINES} lines: is it the right file?")]
        )
    first = True
    for number, line in enumerate(lines, start=1):
        content, _, remark = line.partition("#")
        content = content.strip()
        if not content:
            continue
        _read_line(draft, content, remark.strip(), number, first)
        first = False
    if not draft.ingredients and not draft.faults:
        draft.faults.append(
            Fault(
                None, "the recipe has no ingredients.", "Write one material and its amount a line, e.g. 'whiting 12'."
            )
        )
    recipe = make(
        Recipe,
        draft.faults,
        None,
        ingredients=draft.ingredients,
        notes="\n".join(draft.notes),
        text=text,
        path=path,
        **draft.values,
    )
    if recipe is not None and not draft.faults:
        draft.notices += _check_totals(draft, recipe)
    if recipe is None or draft.faults:
        raise FileFaultsError(path or "the recipe", draft.faults)
    return replace(recipe, notices=tuple(draft.notices))


def _read_line(draft: _Draft, content: str, remark: str, number: int, first: bool) -> None:
    named = _FIELD.match(content)
    if named:
        _set_field(draft, named["key"].lower(), named["value"].strip(), number)
        return
    whole_cone = _CONE.match(content)
    if (
        whole_cone
        and whole_cone.end() == len(content)
        and (not whole_cone["rest"] or whole_cone["rest"].lower() in _ATMOSPHERES)
    ):
        _set_field(draft, "cone", content, number)
        return
    total = _TOTAL.match(content)
    if total:
        _note_total(draft, total["rest"].strip(), number)
        return
    heading = _HEADING.match(content)
    if heading and not (first and not content.endswith(":")):
        draft.in_additions = heading["what"].lower() in ("addition", "additions", "add", "plus", "on top")
        return
    addition = draft.in_additions
    if content.startswith("+"):
        addition, content = True, content[1:].strip()
    else:
        add = re.match(r"(?:add(?:ition)?|plus)\s*:?\s+(?=\S)|add\s*:\s*", content, re.IGNORECASE)
        if add and not first:
            addition, content = True, content[add.end() :].strip()
    if first and not addition and not _reads_as_ingredient(content):
        name, cone, atmosphere = split_title(content)
        draft.values["name"] = name
        _keep_cone(draft, cone, number)
        if atmosphere:
            draft.values["atmosphere"] = atmosphere
        return
    bullet = _BULLET.match(content)
    if bullet:
        content = content[bullet.end() :]
    try:
        parsed = parse_line(content)
    except LineError as error:
        hint = error.hint
        if first:
            hint += " If this line is the title, write it as 'name: ...'."
        draft.faults.append(Fault(number, error.message, hint))
        return
    if parsed.comma:
        draft.notices.append(
            Notice(
                "decimal-comma",
                f"line {number}: the amount of {parsed.material} is read with a decimal comma, {parsed.amount:g}.",
            )
        )
    item = make(
        Ingredient,
        draft.faults,
        number,
        material=parsed.material,
        amount=parsed.amount,
        unit=parsed.unit,
        addition=addition,
        note=remark,
        line=number,
    )
    if item is not None:
        draft.ingredients.append(item)


def _reads_as_ingredient(content: str) -> bool:
    return looks_like_amount(_CONE.sub(" ", content).strip())


def _keep_cone(draft: _Draft, cone: str, number: int) -> None:
    if not cone:
        return
    try:
        kept = str(parse_cone(cone))
    except ConeError as error:
        draft.faults.append(Fault(number, str(error)))
        return
    old = draft.values.get("cone")
    if old and old != kept:
        draft.faults.append(Fault(number, f"the cone is given twice, {old} and {kept}.", "Keep one."))
    draft.values["cone"] = kept


def _set_field(draft: _Draft, key: str, value: str, number: int) -> None:
    key = {
        "title": "name",
        "glaze": "name",
        "note": "notes",
        "clay body": "body",
        "based on": "based_on",
        "firing": "cone",
    }.get(key, key)
    if key == "cone":
        text = value if _CONE.match(value) else f"cone {value}"
        match = _CONE.match(text)
        if not match or (match["rest"] and match["rest"].lower() not in _ATMOSPHERES):
            draft.faults.append(
                Fault(
                    number, f"'{value[:40]}' is not a cone that can be read.", "Write it like 'cone 6' or 'cone 06 ox'."
                )
            )
            return
        _keep_cone(draft, match["cone"], number)
        atmosphere = _ATMOSPHERES.get(match["rest"].lower(), "")
        if atmosphere:
            draft.values["atmosphere"] = atmosphere
        return
    if key == "notes":
        draft.notes.append(value)
        return
    if key == "atmosphere":
        value = atmosphere_name(value)
    if key == "use" and value not in USES:
        error = unknown_use(value)
        draft.faults.append(Fault(number, error.message, error.hint))
        return
    if key in draft.values and draft.values[key] != value:
        draft.faults.append(Fault(number, f"'{key.replace('_', ' ')}' is given twice.", "Keep one."))
    draft.values[key] = value


def _note_total(draft: _Draft, rest: str, number: int) -> None:
    try:
        parsed = parse_line(f"total {rest}")
    except LineError as error:
        draft.faults.append(Fault(number, error.message, "Write the total as one number, e.g. 'total 98'."))
        return
    draft.totals.append((number, parsed.amount, parsed.unit))


def _check_totals(draft: _Draft, recipe: Recipe) -> list[Notice]:
    notices = []
    for number, stated, unit in draft.totals:
        stated_measure = Ingredient(material="total", amount=stated, unit=unit if unit != "%" else "")
        value = Recipe(ingredients=(stated_measure,)).all_in_total
        met = [
            name
            for name, sum_ in (("base", recipe.base_total), ("all-in", recipe.all_in_total))
            if abs(sum_ - value) <= _TOTAL_SLACK + _TOTAL_SLACK_SHARE * max(1.0, value)
        ]
        if not met:
            draft.faults.append(
                Fault(
                    number,
                    f"the total is given as {stated:g}, but the base adds to {recipe.base_total:g}"
                    + (f" and base with additions to {recipe.all_in_total:g}." if recipe.additions else "."),
                    "Is a line missing, or a number mistyped?",
                )
            )
        else:
            notices.append(
                Notice(
                    "total-checked",
                    f"the stated total {stated:g} is that of the {' and the '.join(met) if recipe.additions else 'recipe'}.",
                )
            )
    return notices


def format_recipe_text(recipe: Recipe) -> str:
    """Return the recipe as plain text: the text it was read from where there is one, else a fresh one that reads back equal."""
    if recipe.text and parse_recipe_text(recipe.text) == recipe:
        return recipe.text
    lines = []
    if recipe.name:
        lines.append(recipe.name if _is_plain_title(recipe.name) else f"name: {recipe.name}")
    if recipe.cone:
        lines.append(f"cone {recipe.cone}")
    for key in ("atmosphere", "body", "use", "version", "based_on"):
        value = getattr(recipe, key)
        if value:
            lines.append(f"{key.replace('_', ' ')}: {value}")
    lines.extend(f"note: {line}" for line in recipe.notes.split("\n") if recipe.notes)
    width = max((len(item.material) for item in recipe.ingredients), default=0)
    for item in recipe.ingredients:
        sign = "+ " if item.addition else ""
        unit = f" {item.unit}" if item.unit else ""
        remark = f"  # {item.note}" if item.note else ""
        lines.append(
            f"{sign}{item.material:{width + 2 - len(sign)}s}  {number_text(item.amount)}{unit}{remark}".rstrip()
        )
    return "\n".join(lines) + "\n"


def _is_plain_title(name: str) -> bool:
    try:
        probe = _Draft()
        _read_line(probe, name, "", 1, True)
    except (FileFaultsError, LineError):
        return False
    return probe.values == {"name": name} and not probe.ingredients and not probe.faults and "#" not in name
