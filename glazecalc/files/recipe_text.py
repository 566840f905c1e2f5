"""Plain-text recipes: read as a potter types them, written back byte for byte.

A first line without an amount is the title; ``#`` starts a comment (``\\#`` does not), ``+`` (or ``add:``) an addition; ``cone 6 ox``,
``1240 C``, ``use: plate``, ``total 98`` and the like stand on lines of their own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from glazecalc.errors import ConeError, Fault, FileFaultsError, LineError, Notice
from glazecalc.files.card_fields import CardFields, field_lines
from glazecalc.files.fields import make
from glazecalc.files.recipe_lines import LONGEST_LINE, looks_like_amount, make_ingredient, number_text, parse_line
from glazecalc.files.text_file import LONGEST_LINE as LONGEST_OF_FILE
from glazecalc.files.text_file import file_fault
from glazecalc.heat import CLEAR_ATMOSPHERES, FoundHeat, find_heat, heat_words, parse_heat
from glazecalc.plain_text import with_plain_spaces
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.units import Written, two_readings

__all__ = ("check_totals", "format_recipe_text", "parse_recipe_text")

_TOTAL = re.compile(r"(?:grand\s+|sub)?totals?\s*[:=]?\s*(?P<rest>.*)\Z", re.IGNORECASE | re.ASCII)
_HEADING = re.compile(
    r"(?P<what>base|recipe|ingredients|materials|additions?|add|plus|on top)\s*:?\s*\Z", re.IGNORECASE | re.ASCII
)
_ADD = re.compile(r"\+|(?:add(?:ition)?|plus)\s*:?\s+(?=\S)|add\s*:\s*", re.IGNORECASE)
_BULLET = re.compile(r"[*•·–—]\s*|-\s+(?=[^\W\d])")
_COMMENT = re.compile(r"(?<!\\)#")  # Blue \#2 is no comment
_MOST_LINES = 2000
_MOST_LETTERS = 100_000
_TOTAL_SLACK, _TOTAL_SLACK_SHARE = 0.051, 0.001  # a total is often printed rounded; this program's own choice


@dataclass(slots=True)
class _Draft(CardFields):
    """What the reading of a text has found so far."""

    ingredients: list[Ingredient] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    totals: list[tuple[int, float, str]] = field(default_factory=list)
    numbers: list[Written] = field(default_factory=list)
    in_additions: bool = False


def parse_recipe_text(text: str, path: str = "") -> Recipe:
    """Read a plain-text recipe, its `text` kept whole; a byte order mark, any line ends and tabs are fine."""
    if len(text) > _MOST_LETTERS:
        said = f"the recipe has more than {_MOST_LETTERS} letters: is it the right file?"
        raise file_fault(path or "the recipe", said)
    draft = _Draft()
    lines = re.split(r"\r\n|\r|\n", with_plain_spaces(text).replace("\t", " "))
    if len(lines) > _MOST_LINES:
        raise file_fault(path or "the recipe", f"the recipe has more than {_MOST_LINES} lines: is it the right file?")
    first = True
    for number, line in enumerate(lines, start=1):
        if len(line) > LONGEST_OF_FILE:
            draft.fault(number, f"the line has more than {LONGEST_OF_FILE} letters.", "Is it the right file?")
            continue
        content, *remarks = _COMMENT.split(line, maxsplit=1)
        content, remark = content.replace("\\#", "#").strip(), "".join(remarks)
        if not content:
            continue
        _read_line(draft, content, remark.strip(), number, first)
        first = False
    draft.faults += two_readings(draft.numbers)
    if not draft.ingredients and not draft.faults:
        hint = "Write one material and its amount a line, e.g. 'whiting 12'."
        draft.fault(None, "the recipe has no ingredients.", hint)
    recipe = make(Recipe, draft.faults, None, **draft.given, ingredients=draft.ingredients, text=text, path=path)
    if recipe is not None and not draft.faults:
        check_totals(draft.totals, recipe, draft.faults, draft.notices)
    if recipe is None or draft.faults:
        raise FileFaultsError(path or "the recipe", draft.faults)
    return replace(recipe, notices=tuple(draft.notices))


def _read_line(draft: _Draft, content: str, remark: str, number: int, first: bool) -> None:
    if draft.read(content, number):
        return
    if len(content) > LONGEST_LINE:
        what = "a title or an ingredient" if first else "an ingredient"
        draft.fault(
            number, f"the line '{content[:60]}...' is too long for {what}.", "One material and one amount a line."
        )
        return
    heading = _HEADING.match(content)
    if heat := find_heat(content, whole=True):
        _keep_heat(draft, heat, number, of_title=first)
    elif not first and content.lower() in CLEAR_ATMOSPHERES:
        draft.set("atmosphere", content, number)
    elif total := _TOTAL.match(content):
        _note_total(draft, total["rest"].strip(), number)
    elif heading and not (first and not content.endswith(":")):
        draft.in_additions = heading["what"].lower() in ("addition", "additions", "add", "plus", "on top")
    else:
        _read_material(draft, content, remark, number, first)


def _read_material(draft: _Draft, content: str, remark: str, number: int, first: bool) -> None:
    addition = draft.in_additions
    add = _ADD.match(content)
    if add and (content.startswith("+") or not first):
        addition, content = True, content[add.end() :].strip()
    if first and not addition:
        heat = find_heat(content)
        without = f"{content[: heat.start]} {content[heat.end :]}" if heat else content
        is_amount = looks_like_amount(without.strip())
        if not is_amount or (heat and heat.signed and not content[heat.end :].strip(" .,;)")):
            _set_title(draft, content, heat, number)
            if is_amount:
                said = f"the first line is read as the title '{draft.fields['name']}'."
                draft.notices.append(
                    Notice(
                        "title-with-number", f"{said} If it is an ingredient, give the cone a line of its own.", number
                    )
                )
            return
    bullet = _BULLET.match(content)
    try:
        material, amount = parse_line(content[bullet.end() :] if bullet else content)
    except LineError as error:
        hint = f"{error.hint} If this line is the title, write it as 'name: ...'." if first else error.hint
        draft.fault(number, error.message, hint)
        return
    draft.numbers.append(Written(number, content, amount.number, amount.mark, amount.unit))
    item = make_ingredient(draft.faults, draft.notices, number, material, amount, addition, remark)
    if item is not None:
        draft.ingredients.append(item)


def _set_title(draft: _Draft, text: str, heat: FoundHeat | None, number: int) -> None:
    """Split ``Harbour Black   cone 6 ox`` into name, cone and atmosphere."""
    if heat is None:
        draft.fields["name"] = text.strip()
        return
    draft.fields["name"] = f"{text[: heat.start].rstrip(' ,;:(-')} {text[heat.end :].strip(' ,;:)-')}".strip()
    _keep_heat(draft, heat, number, of_title=True)


def _keep_heat(draft: _Draft, found: FoundHeat, number: int, *, of_title: bool = False) -> None:
    """Keep the cone or temperature of a line, and the atmosphere beside it; say how a title was read that may mean another thing."""
    try:
        heat = parse_heat(found.said)
    except ConeError as error:
        draft.fault(number, error.message, error.hint)
        return
    draft.keep("cone", heat.label, number)
    draft.keep("atmosphere", found.atmosphere, number)
    if of_title and found.doubt and (draft.fields.get("name") or found.doubt.lower().endswith("red")):
        read = ", ".join(filter(None, (str(heat), found.atmosphere)))
        said = (
            f"'{found.doubt}' in the title is read as its firing, {read}. If it is part of the name, write 'name: ...'."
        )
        draft.notices.append(Notice("title-read-as-firing", said, number))


def _note_total(draft: _Draft, rest: str, number: int) -> None:
    try:
        _, total = parse_line(f"total {rest}")
    except LineError as error:
        draft.fault(number, error.message, "Write the total as one number, e.g. 'total 98'.")
        return
    draft.numbers.append(Written(number, rest, total.number, total.mark, total.unit))
    draft.totals.append((number, float(total.number), total.unit))


def check_totals(
    totals: Iterable[tuple[int, float, str]], recipe: Recipe, faults: list[Fault], notices: list[Notice]
) -> None:
    """Hold each stated total (line, amount, unit) against that of the base and that of all; a `%` behind it says nothing more."""
    for number, stated, unit in totals:
        line = Ingredient(material="total", amount=stated, unit=unit if unit != "%" else "")
        total = Recipe(ingredients=(line,)).all_in_total
        slack = _TOTAL_SLACK + _TOTAL_SLACK_SHARE * max(1.0, total)
        sums = {"base": recipe.base_total, "total batch": recipe.all_in_total}
        met = [name for name, value in sums.items() if abs(value - total) <= slack]
        if met:
            whose = " and the ".join(met) if recipe.additions else "recipe"
            notices.append(Notice("total-checked", f"the stated total {stated:g} is that of the {whose}."))
        else:
            both = f" and base with additions to {recipe.all_in_total:g}" if recipe.additions else ""
            said = f"the total is given as {stated:g}, but the base adds to {recipe.base_total:g}{both}."
            faults.append(Fault(number, said, "Is a line missing, or a number mistyped?"))


def format_recipe_text(recipe: Recipe) -> str:
    """Return the recipe as plain text: the text it was read from where there is one, else a fresh one that reads back equal."""
    if recipe.text and parse_recipe_text(recipe.text) == recipe:
        return recipe.text
    lines = []
    if recipe.name:
        lines.append(_marked(recipe.name if _is_plain_title(recipe.name) else f"name: {recipe.name}"))
    if recipe.cone:
        lines.append(heat_words(recipe.cone))
    lines += map(_marked, field_lines(recipe))
    width = max((len(item.material) for item in recipe.ingredients), default=0)
    for item in recipe.ingredients:
        name = f"{'+ ' if item.addition else ''}{_marked(item.material)}"
        remark = f"  # {item.note}" if item.note else ""
        amount = f"{number_text(item.amount)} {item.unit}".rstrip()
        lines.append(f"{name:{width + 2}s}  {amount}{remark}".rstrip())
    return "\n".join(lines) + "\n"


def _is_plain_title(name: str) -> bool:
    probe = _Draft()
    _read_line(probe, name, "", 1, True)
    return probe.fields == {"name": name} and not probe.ingredients and not probe.faults


def _marked(text: str) -> str:
    r"""Return a text whose ``#`` starts no comment: ``Blue \#2``."""
    return text.replace("#", "\\#")
