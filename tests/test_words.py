"""One word for one thing, and plain ones: what was dropped from all that is printed does not come back.

Looked at: every text in the code that is no docstring, the docstrings of the commands (their help), the texts of the data and of
the materials, the README and the prose of the notebooks. Titles of sources are other people's words and may say what they like.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import glazecalc
from glazecalc.cli.verbs import VERBS, command_of
from glazecalc.files.yaml_events import read_yaml
from tests.cli.run import run

PACKAGE = Path(glazecalc.__file__).parent
ROOT = PACKAGE.parent
OTHERS_WORDS = {
    "title",
    "source",
    "also",
    "citation",
    "seen_at",
    "publisher",
    "table",
    "url",
    "document",
    "words",
}  # `words` are read, not said

# what is not said any more -> what is said, and why
DROPPED = {
    r"biscuit": "bisque: one word for the first firing",
    r"cannot be meant|too large to be meant": "not plausible: it is the number that is odd, not the writer",
    r"out of reason": "not plausible: not English in this sense",
    r"slip at the scale": "weighing mistake: slip is liquid clay",
    r"wrong call": "wrong usage: a potter calls nothing",
    r"\w+\((s|ren)\)": "the plural that fits the number",
    r"lift it off|(and|then|to) weigh on": "scoop it off and go on weighing",
    r"rising (addition|series)": "progression: the trade's word",
    r"mind the gaps": "say what may be missing",
    r"not excluded": "may exist: one negation less",
    r"by one potter's chart": "a published chart",
    r"said\]": "shown with the result: a page says nothing aloud",
    r"flux sum": "counted, or not counted, as flux",
    r"conventions disagree": "authors read this ratio differently, and only where they do",
    r"is borne": "is accepted",
    r"Potters name": "usual gravities",
    r"dry content": "dry glaze: one word for the solids in a slurry",
    r"dry solids": "solids density, or dry powder",
    r"this project's": "this program's: one name for whose choice it is",
    r"no interval": "error not known: what a potter asks of a number is its error",
    r"tested window": "tested range: one word for what a model was tested on",
    r"(?<!above )all[- ]in": "total batch; all-in stands in the names of options only",
    r"know: habit": "know: keep in mind",
    r"no clearance": "say that finding nothing does not mean there is nothing",
    r"physicians?": "doctor: the everyday word",
    r"slops?": "slurry: one word for the glaze in the bucket",
    r"mattes?": "matt: one spelling for the surface",
    r"reckon\w*": "counted, estimated: plain words for a number",
    r"from memory": "recalled, not checked against the print: what a reader may do about it",
    r"interval of \d+": "error range: what a potter asks of a number",
    r"by the shape of the ware": "depending on the shape of the ware",
    r"hardly dissolves|hardly any quartz": "a reassurance: say what the sheet or the test must say",
    r"clears nothing": "no proof of it, or settles nothing: not English in this sense",
    r"over x\d": "over (15x): a number of times, not a code",
    r"on the careful side": "say what was taken, and for want of what",
    r"sulfur": "sulphur: one spelling",
    r"dinnerware|crockery|foodware": "tableware, or food ware where a law speaks of it",
    r"one or two tell|tell little": "say little about the spread",
}


def _docstrings(tree: ast.AST) -> set[int]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and node.body:
            first = node.body[0]
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                found.add(id(first.value))
    return found


def _of_code() -> Iterator[tuple[str, str]]:
    options = {
        option.removeprefix("--") for verb in VERBS for param in command_of(verb).params for option in param.opts
    }
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docstrings = _docstrings(tree)
        for node in ast.walk(tree):
            if not isinstance(node, ast.Constant) or not isinstance(node.value, str) or id(node) in docstrings:
                continue
            if node.value not in options:  # the name of an option, by which a form asks for it, is no sentence
                yield f"{path.relative_to(ROOT)}:{node.lineno}", node.value


def _of_help() -> Iterator[tuple[str, str]]:
    for verb in VERBS:
        yield f"glazecalc {verb} --help", command_of(verb).help


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            if key not in OTHERS_WORDS:
                yield from _texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item)


def _of_data() -> Iterator[tuple[str, str]]:
    for folder in (PACKAGE / "data", ROOT / "materials", ROOT / "notebooks"):
        for path in sorted(folder.rglob("*.yaml")):
            if path.name != "food_limits_sources.yaml":
                for text in _texts(read_yaml(path.read_text(encoding="utf-8"), path.name).plain()):
                    yield str(path.relative_to(ROOT)), text


def _of_prose() -> Iterator[tuple[str, str]]:
    yield "README.md", (ROOT / "README.md").read_text(encoding="utf-8")
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "markdown":
                yield path.name, "".join(cell["source"])


@pytest.fixture(scope="module")
def printed() -> list[tuple[str, str]]:
    """Everything printed: (where, text)."""
    return [*_of_code(), *_of_help(), *_of_data(), *_of_prose()]


@pytest.mark.parametrize(("word", "instead"), DROPPED.items())
def test_a_dropped_word_stays_dropped(word: str, instead: str, printed: list[tuple[str, str]]):
    pattern = re.compile(rf"(?<![\w-]){word}(?!\w)", re.IGNORECASE)
    found = [f"{where}: {' '.join(text.split())[:120]}" for where, text in printed if pattern.search(text)]
    assert not found, f"say {instead}"


def test_the_search_finds_what_it_looks_for(printed: list[tuple[str, str]]):
    assert len(printed) > 3000
    assert any("the mistake included" in text for where, text in printed if where.startswith("glazecalc mend"))


def test_no_page_names_a_shop_or_a_private_site(capsys: pytest.CaptureFixture[str], studio: Path, tmp_path: Path):
    """The citation stands in the data, in `--json` and with `--full`."""
    shown = [
        text for path in sorted((ROOT / "tests/snapshots").glob("*.txt")) for text in [path.read_text(encoding="utf-8")]
    ]
    shown += [text for _, text in (*_of_code(), *_of_help())]
    sizes = ("size", "--shrinkage", "12%", "--want", "9in", "--piece", "plate", "--absorption", "210g 214g")
    wish = ("nudge", str(studio / "recipes/harbour-black.txt"), "less cobalt", "--materials", str(studio / "materials"))
    for number, words in enumerate((sizes, ("size", "--want", "9in"), wish)):
        page = tmp_path / f"{number}.html"
        ran = run(capsys, *words, "--html", str(page))
        shown += [ran.out, ran.err, *(found.read_text(encoding="utf-8") for found in [page] if found.exists())]
    site = re.compile(r"\b[\w-]+\.(com|org|net|co\.\w\w)\b")
    assert [found.group() for text in shown if (found := site.search(text))] == []
    assert "marianwilliamspottery.com" in run(capsys, *sizes, "--json").json["clay_source"]
