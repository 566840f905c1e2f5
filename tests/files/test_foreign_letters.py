"""Four letters that a pattern takes for i, s or k though their small letters are others: every word is read or refused in words."""

from __future__ import annotations

import pytest

import glazecalc as gc
from glazecalc.cooling import check_cooling_field
from glazecalc.errors import GlazeError
from glazecalc.field_checks import FieldChecks
from glazecalc.files.recipe_text import parse_recipe_text

LOOK_ALIKE = {"i": "İı", "s": "ſ", "k": "\u212a", "I": "İı", "S": "ſ", "K": "\u212a"}
BODY = "potash feldspar 40\nwhiting 20\nkaolin 10\nsilica 30\n+ tin oxide 4\n"
LINES = [
    "cooling: slow", "cooling: fast", "cooling: natural", "cooling: 150 C/h, held at 1040 C for 1 h", "title: Slate", "firing: 6 oxidation",
    "cone six oxidation", "Slate cone 6 oxidation", "Slate c6 reduction", "atmosphere: neutral", "temperature: 1240 C", "version: 2", "notes: sieved",
    "based on: Slate", "ingredients", "additions", "subtotal 100", "Slate 6 ox", "Slate cone 10 salt", "Slate wood kiln cone 10", "use: dish",
]  # fmt: skip


def variants(text: str) -> list[str]:
    return [
        text[:at] + other + text[at + 1 :] for at, letter in enumerate(text) for other in LOOK_ALIKE.get(letter, "")
    ]


@pytest.mark.parametrize("line", LINES)
def test_a_card_is_read_or_refused(line: str):
    for one in variants(line):
        try:
            recipe = parse_recipe_text(f"{one}\n{BODY}", "card.txt")
        except GlazeError:
            continue
        assert len(recipe.ingredients) >= 5


@pytest.mark.parametrize("words", ["slow", "fast", "natural", "slow to 900 C, then held at 1040 C for 30 min"])
def test_cooling_is_read_or_refused(words: str):
    for one in variants(words):
        checks = FieldChecks("Recipe")
        check_cooling_field(one, checks)


@pytest.mark.parametrize(
    "wish",
    ["silica +3", "kaolin to 12", "less crazing", "melt more", "stiffer", "expansion down 0.3", "keep the colour"],
)
def test_a_wish_is_read_or_refused(wish: str):
    library, clear = gc.load_materials(), gc.Recipe.from_parts("Clear", {"potash feldspar": 40, "whiting": 20, "kaolin": 10, "silica": 30}, cone="6")  # fmt: skip
    for one in variants(wish):
        try:
            gc.nudge(clear, library, [one])
        except GlazeError:
            continue


@pytest.mark.parametrize("name", ["SiO2", "loss on ignition", "LOI", "Fe2O3 (T)", "ignition loss"])
def test_a_sheet_is_read_or_refused(name: str, tmp_path):
    for place, one in enumerate(variants(name)):
        path = tmp_path / f"spar{place}.yaml"
        path.write_text(
            f"name: Spar\nkind: feldspar\nanalysis:\n  SiO2: 60\n  '{one}': 5\nsource:\n  title: sheet\n",
            encoding="utf-8",
        )
        try:
            gc.read_material(path)
        except GlazeError:
            continue


@pytest.mark.parametrize("text", ["5 kg", "12 oz", "3 imperial pints", "20 inches", "1 stone"])
def test_an_amount_is_read_or_refused(text: str):
    for one in variants(text):
        try:
            parse_recipe_text(f"whiting {one}\nsilica 5 kg\n", "card.txt")
        except GlazeError:
            continue
