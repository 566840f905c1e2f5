"""The card and the label to print: whatever a name, a date or a note holds, it is text and never markup."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

import glazecalc as gc
from glazecalc.recipe import Ingredient, Recipe
from glazecalc.show.html import fragment
from glazecalc.workshop.bucket_label import BucketLabel
from tests.handmade import analysed, library_of

NASTY = (
    "<b>x</b>",
    "<script>alert(1)</script>",
    "a & b",
    '"x" y="z"',
    "'><img src=x>",
    "&lt;",
    "<!-- x",
    "]]></td></table>",
)


class Read(HTMLParser):
    """The markup of a page, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.markup: list[object] = []
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.markup.append((tag, tuple(attrs)))

    def handle_endtag(self, tag: str) -> None:
        self.markup.append(f"/{tag}")

    def handle_comment(self, data: str) -> None:
        self.markup.append(("comment", data))

    def handle_data(self, data: str) -> None:
        self.text += data


def pages(word: str) -> dict[str, Read]:
    """Return sheet and label with `word` wherever a user's words go."""
    clay = analysed(f"{word} clay", {"SiO2": 55, "Al2O3": 45}, 0.0)
    chalk = analysed(f"{word} chalk", {"CaO": 100}, 0.0)
    lines = (
        Ingredient(material=clay.name, amount=60),
        Ingredient(material=chalk.name, amount=30),
        Ingredient(material=chalk.name, amount=5, addition=True),
    )
    recipe = Recipe(name=f"{word} glaze", version=f"{word} 2", cone="6", ingredients=lines)
    moist = {clay.name: 5.0}
    scaled = gc.scale(recipe, library_of(clay, chalk), all_in_g=950, step_g=1, capacity_g=200, moisture_percent=moist)
    said = {"date": f"{word} May", "batch_no": f"{word} 7", "mesh": f"{word} 80", "bench": (f"{word} dust",)}
    label = BucketLabel(bucket=scaled, **said)  # type: ignore[arg-type]
    return {"sheet": Read(fragment(scaled, **said)), "label": Read(fragment(label))}


@pytest.mark.parametrize("word", NASTY)
def test_every_word_of_the_user_is_escaped(word: str):
    plain = pages("plain")
    for name, page in pages(word).items():
        assert page.markup == plain[name].markup
        assert page.text == plain[name].text.replace("plain", word)
