"""One broken input a case: which door it goes through, and whether what comes out is a value or an error told in words.

A case is made by its seed and number alone, so that any one of them can be run again.
"""

from __future__ import annotations

import io
import json
import math
import random
import re
import shlex
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import glazecalc as gc
from glazecalc.amounts import (
    parse_application,
    parse_material_amount,
    parse_percent,
    parse_recipe_amount,
    parse_sample,
)
from glazecalc.cli.main import main
from glazecalc.cones import parse_cone
from glazecalc.cooling import parse_cooling
from glazecalc.heat import find_heat, read_heat
from glazecalc.reformulate.wishes import read_kept, read_wishes
from glazecalc.target import check_label, parse_range
from glazecalc.units import parse_pairs, parse_quantity
from tests.fuzz.mutate import mutated

__all__ = ("Case", "Finding", "case", "run_case")

CORPUS = Path(__file__).parent / "corpus"
_HANGS_AFTER_S = 30.0  # a case is then stopped; a loaded machine may take some seconds for an honest one
_CALL_ONE_IN = 20  # a call costs as much as many files
_NOT_A_NUMBER = re.compile(r"(?<![\w.])[+-]?(nan|inf|infinity)(?![\w.])", re.IGNORECASE)


@cache
def _materials() -> gc.MaterialLibrary:
    return gc.load_materials()


_FILES: dict[str, Callable[[Path], object]] = {
    "recipe": gc.read_recipe,
    "body": gc.read_body,
    "material": gc.read_material,
    "shelf": lambda path: gc.read_shelf(path, _materials()),
    "firings": gc.read_firings,
    "release": gc.read_release_results,
    "target": gc.read_target,
}
_TEXTS: dict[str, Callable[[str], object]] = {
    "amount": parse_recipe_amount,
    "application": parse_application,
    "cone": parse_cone,
    "cooling": parse_cooling,
    "formula": gc.formula_mass,
    "heat": read_heat,
    "heat in a line": find_heat,
    "kept oxides": read_kept,
    "label": check_label,
    "material": lambda text: _materials().find(text),
    "material and amount": parse_material_amount,
    "pairs": parse_pairs,
    "percent": parse_percent,
    "quantity": parse_quantity,
    "range": lambda text: parse_range(text, "SiO2"),
    "sample": parse_sample,
    "wishes": read_wishes,
}


@dataclass(frozen=True)
class Case:
    """What goes in: a file of a door, a text for a parser, or the words of a call and its files (name -> bytes)."""

    door: str
    files: dict[str, bytes]
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Finding:
    """What must not be: what came out of a case in place of a value or an error told in words."""

    case: Case
    said: str

    def __str__(self) -> str:
        given = {name: data[:400] for name, data in self.case.files.items()}
        return f"{self.case.door}: {self.said}\n  words {[w[:200] for w in self.case.words]}\n  files {given}"


@cache
def _corpus(door: str) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted((CORPUS / door).iterdir())}


@cache
def _lines(name: str) -> tuple[str, ...]:
    lines = (CORPUS / name).read_text(encoding="utf-8").splitlines()
    return tuple(line for line in lines if line and not line.startswith("#"))


def case(seed: int, number: int) -> Case:
    """Return the case of that number."""
    choice = random.Random(f"{seed}/{number}")
    if choice.randrange(_CALL_ONE_IN) == 0:
        return _call(choice)
    door = choice.choice((*_FILES, *("recipe",) * 3, "text"))
    if door == "text":
        words = [line.encode() for line in _lines("text/words.txt")]
        text = mutated(choice.choice(words), choice, words).decode("utf-8", "surrogateescape")
        return Case(door=choice.choice(tuple(_TEXTS)), files={}, words=(text,))
    name, data = _broken_file(door, choice)
    return Case(door=door, files={name: data})


def _broken_file(door: str, choice: random.Random) -> tuple[str, bytes]:
    corpus = _corpus(door)
    name = choice.choice(tuple(corpus))
    return name, mutated(corpus[name], choice, tuple(corpus.values()))


def _call(choice: random.Random) -> Case:
    words = shlex.split(choice.choice(_lines("calls.txt")))
    files: dict[str, bytes] = {}
    as_it_is = choice.random() < 0.3  # then a file is broken
    for at, word in enumerate(words):
        if word.startswith("{"):
            door = word.strip("{}")
            name, data = _broken_file(door, choice)
            if not as_it_is and choice.random() < 0.5:
                data = _corpus(door)[name]
            words[at] = f"{at}-{name}"
            files[words[at]] = data
        elif not as_it_is and choice.random() < 0.4:
            others = [line.encode() for line in _lines("text/words.txt")]
            words[at] = mutated(word.encode(), choice, others).decode("utf-8", "surrogateescape").replace("\0", "")
    return Case(door="call", files=files, words=tuple(words))


def run_case(one: Case, folder: Path, *, most_s: float = math.inf) -> Iterator[Finding]:
    """Run a case with its files in `folder`, and say what must not be; slower than `most_s` is a finding too."""
    for name, data in one.files.items():
        (folder / name).write_bytes(data)
    start = time.process_time()  # work, not waiting: others may use the machine too
    try:
        with _stopped():
            yield from _outcome(one, folder)
    except gc.GlazeError as error:
        if not str(error).strip():
            yield Finding(one, f"{type(error).__name__} without a word")
    except _HangsError:
        yield Finding(one, f"hangs: stopped after {_HANGS_AFTER_S:g} s")
    except Exception as error:  # noqa: BLE001 - a finding is exactly what nobody thought of
        yield Finding(one, f"{type(error).__name__}: {str(error)[:300]}")
    taken = time.process_time() - start
    if taken > most_s:
        yield Finding(one, f"took {taken:.1f} s")


def _outcome(one: Case, folder: Path) -> list[Finding]:
    """Send a case through its door; an error goes up."""
    if one.door == "call":
        words = [str(folder / word) if word in one.files else word for word in one.words]
        given = " ".join([*words, *(data.decode("utf-8", "replace") for data in one.files.values())])
        return [Finding(one, said) for said in _called(words, given)]
    if one.files:
        _FILES[one.door](folder / next(iter(one.files)))
    else:
        _TEXTS[one.door](one.words[0])
    return []


class _HangsError(BaseException):
    """No `except Exception` on the way catches it."""


@contextmanager
def _stopped() -> Iterator[None]:
    def stop(_signal: int, _frame: object) -> None:
        raise _HangsError

    if not hasattr(signal, "setitimer"):
        yield
        return
    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, _HANGS_AFTER_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _called(words: list[str], given: str) -> Iterator[str]:
    """Call the command line, and say what breaks its promises: exit 0, 1 or 2; nothing on standard output but for 0; no NaN."""
    out, err, code, before = io.StringIO(), io.StringIO(), 0, sys.argv
    sys.argv = ["glazecalc", *words]
    try:
        with redirect_stdout(out), redirect_stderr(err):
            main()
    except SystemExit as stop:
        code = int(stop.code or 0)
    finally:
        sys.argv = before
    said, told = out.getvalue(), err.getvalue()
    if code not in (0, 1, 2):
        yield f"exit {code}"
    if code and (said or not told):
        yield f"exit {code} with {len(said)} letters on standard output and {len(told)} on standard error"
    if "Traceback" in told:
        yield f"a traceback: {told[-300:]}"
    if not code and (found := _NOT_A_NUMBER.search(said)) and not _NOT_A_NUMBER.search(given):
        yield f"'{found[0]}' on the page"
    if not code and "--json" in words and said.lstrip()[:1] in ("{", "["):
        try:
            json.loads(said)
        except ValueError as error:
            yield f"what --json prints is no JSON: {error}"
