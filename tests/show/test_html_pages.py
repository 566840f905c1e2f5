"""The HTML page of every verb: sound, self-contained, closed to scripts and addresses, escaped; the words and figures of the text page."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import glazecalc as gc
from glazecalc.caution.test_plan import plan_tests
from glazecalc.display import Shown
from glazecalc.errors import Fault, Notice
from glazecalc.estimate.expansion import model_source
from glazecalc.estimate.firings import FiredResult, Placed, fit_range
from glazecalc.files.materials import load_materials
from glazecalc.folder_report import FolderReport, FolderRow
from glazecalc.recipe_collection import Reject
from glazecalc.show.html import fragment, html_page, page_css
from glazecalc.show.html.setting import chemical, figure, plain, said
from tests.cli.run import run
from tests.cli.test_odd_words import CALLS
from tests.handmade import analysed, library_of
from tests.show.html_reader import Read

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
LARGEST = 150_000  # bytes of a page
LEAD = {"lead bisilicate frit": 80, "kaolin": 20, "copper carbonate": 3}
NASTY = (
    "<b>x</b>",
    "<script>alert(1)</script>",
    "a & b",
    '"x" y="z"',
    "'><img src=x>",
    "&lt;",
    "<!-- x",
    "{{ x }}",
    "🏺",
)


def sound(page: str) -> Read:
    """Return a page that is read, held to what every page is."""
    read = Read(page)
    assert read.faults == []
    assert len(page.encode("utf-8")) < LARGEST
    assert read.all("html") == [{"lang": "en"}]
    assert [len(read.all(tag)) for tag in ("title", "h1", "main", "style")] == [1, 1, 1, 1]
    assert {"name": "viewport", "content": "width=device-width, initial-scale=1"} in read.all("meta")
    closed(read)
    return read


def closed(read: Read) -> None:
    """Hold a page to what a strict policy lets live: no script, no style or event attribute, nothing from elsewhere."""
    assert not {"script", "iframe", "object", "embed", "base", "form"} & {tag for tag, _ in read.elements}
    for tag, attrs in read.elements:
        assert not [name for name in attrs if name in ("style", "src", "srcset", "action") or name.startswith("on")], (
            tag
        )
        assert all(value.startswith("#") for name, value in attrs.items() if name.endswith("href")), tag
        assert all("//" not in value for name, value in attrs.items() if name != "aria-label"), tag
    ids = [attrs["id"] for _, attrs in read.elements if "id" in attrs]
    assert len(set(ids)) == len(ids)


@pytest.fixture
def called(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with what the calls of every verb need."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ford-clear.txt").write_text("Ford Clear\npotash feldspar 40\nwhiting 20\nsilica 30\nkaolin 10\n")
    (tmp_path / "firings.csv").write_text("recipe,body,cone,result\nford-clear.txt,Slate,6,crazed\n")
    return tmp_path


@pytest.mark.parametrize("verb", CALLS)
def test_a_page_is_never_written_over_unasked(verb: str, called: Path, capsys: pytest.CaptureFixture[str]):
    words = (verb, *CALLS[verb][0], *CALLS[verb][1], "--html", "page.html")
    (called / "page.html").write_text("mine")
    ran = run(capsys, *words)
    assert (ran.code, ran.out) == (1, "")
    assert "--replace" in ran.err
    assert (called / "page.html").read_text() == "mine"


def test_with_replace_it_is_and_json_says_where(called: Path, capsys: pytest.CaptureFixture[str]):
    (called / "page.HTM").write_text("mine")
    ran = run(capsys, "cone", "6", "--html", "page.HTM", "--replace", "--json")
    assert ran.json["notices"] == [{"code": "page-written", "message": "the page is in page.HTM."}]
    assert (called / "page.HTM").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.parametrize("verb", CALLS)
def test_only_html_is_taken_and_replace_needs_a_file(verb: str, called: Path, capsys: pytest.CaptureFixture[str]):
    words = (verb, *CALLS[verb][0], *CALLS[verb][1])
    for more, told in ((("--html", "page.txt"), ".html"), (("--replace",), "--html")):
        ran = run(capsys, *words, *more)
        assert (ran.code, ran.out) == (2, "")
        assert told in ran.err


def test_what_a_call_reads_is_not_written_over(called: Path, capsys: pytest.CaptureFixture[str]):
    card = called / "card.html"
    card.symlink_to(called / "ford-clear.txt")
    for words in (("check", "ford-clear.txt"), ("mend", "ford-clear.txt", "--weighed", "ford-clear.txt")):
        ran = run(capsys, *words, "--html", "card.html", "--replace")
        assert (ran.code, ran.out) == (1, "")
        assert "is read by the same call" in ran.err


def in_print(text: str) -> str:
    """Return a sentence as a page sets it, with single spaces."""
    return Read(f"<p>{said(text)}</p>").words


def report(name: str = "harbour-black", **options: str) -> gc.CheckReport:
    library = load_materials(str(STUDIO / "materials"))
    return gc.check(gc.read_recipe(STUDIO / "recipes" / f"{name}.txt"), library, **options)  # type: ignore[arg-type]


def test_the_policy_lets_the_page_s_own_style_pass_and_nothing_else():
    page = html_page(report())
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    assert style == page_css()
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    (policy,) = [meta["content"] for meta in Read(page).all("meta") if meta.get("http-equiv")]
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert not re.search(r"url\(|@import", style)


def test_the_page_of_a_check_says_what_the_text_page_and_the_json_say():
    found = report()
    words = Read(html_page(found)).words
    assert words.index("In short") < words.index("Look at") < words.index("Unity formula") < words.index("Estimates")
    for reading in found.readings:
        assert reading.about in words
    for oxide, moles in found.unity_moles.items():
        assert moles < 0.005 or f"{moles:.2f} {oxide}" in words
    for oxide, percent in found.fired.items():
        assert percent < 0.05 or f"{oxide} {percent:.1f} {found.mole_percent[oxide]:.1f}" in words
    for caution in found.cautions:
        assert in_print(caution.do) in words
    for notice in found.notices:
        assert in_print(notice.message).lower() in words.lower()
    assert "expansion, 20 to 300 °C 10−6 per K, fitted 5.7 4.2 to 7.2" in words


CALLED = {  # pages with an HTML page of their own, beside those of `CALLS`
    **{verb: (verb, *arguments, *options) for verb, (arguments, options) in CALLS.items()},
    "whole check": (
        "check",
        "STUDIO/recipes/harbour-black.txt",
        "--full",
        "--spread",
        "1000",
        "--body",
        "STUDIO/body-slate.yaml",
    ),
    "tests": ("check", "STUDIO/recipes/chalk-satin.txt", "--tests"),
    "working": ("check", "STUDIO/recipes/chalk-satin.txt", "--working"),
    "folder": ("check", "STUDIO/recipes"),
    "list": ("materials",),
    "temperature": ("cone", "1222C"),
    "card": (
        "scale",
        "STUDIO/recipes/harbour-black.txt",
        *("--fill", "10l", "--sg", "1.45", "--step", "0.1g", "--capacity", "600g", "--date", "12 May", "--mesh", "80"),
    ),
    "card in pounds": (
        "scale",
        "STUDIO/recipes/harbour-black.txt",
        *("--fill", "3 us gal", "--sg", "1.45", "--step", "0.25oz", "--unit", "lb", "--capacity", "5lb"),
        *("--moist", "kaolin 12%", "--prices", "STUDIO/prices.csv"),
    ),
    "top-up": (
        "slurry",
        "STUDIO/recipes/harbour-black.txt",
        *("--sample", "1l 1440 g", "--volume", "6l", "--to", "10l", "--sg", "1.45", "--add", "rutile 1%"),
    ),
    "start again": (
        "mend",
        "STUDIO/recipes/harbour-black.txt",
        *("--weighed", "STUDIO/recipes/rill-clear.txt", "--all-in", "2kg"),
    ),
    "order": (
        "cost",
        "STUDIO/recipes/harbour-black.txt",
        *("--prices", "STUDIO/prices.csv", "--stock", "STUDIO/shelf.csv", "--pieces", "60", "--gain", "61g"),
    ),
    "bars": (
        "size",
        *("--bar", "100 93.5 87.6", "--bar", "100 94 88", "--want", "9in", "--tolerance", "3mm", "--piece", "bowl"),
        *("--absorption", "210.4g 214.6g"),
    ),
    "without": (
        "substitute",
        "STUDIO/recipes/harbour-black.txt",
        *("--without", "potash feldspar", "--only", "soda feldspar", "--full"),
        *("--prices", "STUDIO/prices.csv", "--time-limit", "0.5"),
    ),
    "nudged": ("nudge", "STUDIO/recipes/harbour-black.txt", "expansion down 0.4, ratio kept"),
    "triaxial": ("blend", *(f"STUDIO/recipes/{name}.txt" for name in ("rill-clear", "chalk-satin", "harbour-black"))),
    "progression": ("blend", "STUDIO/recipes/rill-clear.txt", "--rise", "cobalt carbonate=0..2"),
    "firings": (
        "calibrate",
        "STUDIO/firings.csv",
        "--body-name",
        "Osier Fold stoneware",
        "--place",
        "STUDIO/recipes/chalk-satin.txt",
    ),
    "bowl": (
        "lab",
        CALLS["lab"][0][0],
        "--ware",
        "plate",
        "--depth",
        "18mm",
        "--area",
        "2dm2",
        "--volume",
        "0.4l",
        "--full",
    ),
}
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def figures(text: str) -> set[str]:
    """Return the numbers of a text, those of its formulas and powers of ten left out."""
    return set(
        NUMBER.findall(re.sub(r"[A-Z][A-Za-z0-9:]*\d[A-Za-z0-9:]*|(?<![\d.])1e-\d+|e-\d+|10\^[\d.-]+", " ", text))
    )


@pytest.mark.parametrize("name", CALLED)
def test_every_figure_and_note_of_the_text_page_stands_in_the_page(
    name: str, called: Path, capsys: pytest.CaptureFixture[str]
):
    words = [word.replace("STUDIO", str(STUDIO)) for word in CALLED[name]]
    mine = ["--materials", str(STUDIO / "materials")] if any("STUDIO" in word for word in CALLED[name]) else []
    ran = run(capsys, *words, *mine, "--html", "page.html")
    assert ran.code == 0, ran.err
    assert ran.out.rstrip().endswith("note: the page is in page.html.")
    read = sound((called / "page.html").read_text(encoding="utf-8"))
    there = figures(read.text) | set(NUMBER.findall(read.text))
    text = ran.out.replace("page.html", "")
    assert sorted(figures(text) - there) == []
    notes, words = re.findall(r"^note: (.*(?:\n  .*)*)", text, re.MULTILINE), read.words.lower()
    assert [note for note in notes if "the page is in" not in note and in_print(note).lower() not in words] == []


def test_the_foot_says_where_the_numbers_come_from():
    found, other = report(), report("chalk-satin")
    library = load_materials(str(STUDIO / "materials"))
    rows, _ = gc.read_firings(STUDIO / "firings.csv")
    fit = gc.calibrate(rows, library, path=STUDIO / "firings.csv", body_name="Osier Fold stoneware")
    pages = (found, gc.compare(found.batch.recipe, other.batch.recipe, library), fit)
    models = [{e.source for e in found.estimates}, {e.source for e in other.estimates}, {model_source("fitted")}]
    for value, sources in zip(pages, models, strict=True):
        words = Read(html_page(value)).words
        foot = words[words.index("Where the numbers come from") :]
        assert [source for source in sources if in_print(source) not in foot] == []
    for line in found.batch.lines:
        assert line.material.name in Read(html_page(found)).words.partition("Where the numbers come from")[2]


def test_lead_and_cadmium_stand_open():
    found = gc.check(LEAD, load_materials(), cone="04", use="plate")
    read = sound(html_page(found))
    folded = [attrs for attrs in read.all("details") if "open" not in attrs and "caution" in attrs["class"]]
    always = [caution for caution in found.cautions if caution.never_folded]
    assert len(always) >= 4
    assert len(folded) == len([c for c in found.cautions if not c.never_folded and c.severity != "stop"])
    for caution in always:
        assert in_print(caution.message) in read.words


def pages_with(word: str) -> dict[str, str]:
    """Return a page of each kind with `word` wherever a user's words go."""
    clay = analysed(f"{word} clay", {"SiO2": 55, "Al2O3": 45}, 0.0)
    chalk = analysed(f"{word} chalk", {"CaO": 90, "SiO2": 10}, 0.0)
    library = library_of(clay, chalk)
    lines = (gc.Ingredient(material=clay.name, amount=60), gc.Ingredient(material=chalk.name, amount=30))
    recipe = gc.Recipe(name=f"{word} glaze", cone="6", ingredients=lines)
    other = gc.Recipe(name=f"{word} other", cone="6", ingredients=lines)
    body = gc.ClayBody(name=f"{word} body")
    found = gc.check(recipe, library, body=body)
    row = FolderRow(file=f"{word}.txt", report=found)
    reject = Reject(file=f"{word}.csv", faults=(Fault(1, f"{word} is odd.", f"{word}?"),))
    folder = FolderReport(
        folder=f"{word}/x", convention=found.convention, rows=(row,), rejects=(reject,), left_aside=(word,), notices=()
    )
    fired = FiredResult(
        recipe=f"{word} glaze", body=f"{word} body", cone="6", result="sound", model="fitted", expansion=6.0, note=word
    )
    tests = plan_tests(found.cautions, use="plate", fired=found.fired)
    values: dict[str, tuple[Shown, dict[str, object]]] = {
        "check": (found, {}),
        "tests": (found, {"tests": tests}),
        "working": (found, {"working": True}),
        "compare": (gc.compare(recipe, other, library, body=body), {}),
        "blend": (gc.blend([recipe, other], library, side=2, tile_g=100), {}),
        "material": (clay, {"full": True}),
        "list": (library, {}),
        "folder": (folder, {}),
        "fit": (
            replace(fit_range([fired]), placed=(Placed(recipe=f"{word} new", expansion=6.1, place="unknown"),)),
            {},
        ),
    }
    notices = [Notice("odd", f"{word} is odd")]
    return {name: html_page(value, notices=notices, **options) for name, (value, options) in values.items()}


def test_every_word_of_the_user_is_text():
    nasty = " ".join(NASTY)
    plain = pages_with("plain")
    for name, page in pages_with(nasty).items():
        odd, usual = sound(page), Read(plain[name])
        assert odd.markup == usual.markup, name
        assert odd.words.count(nasty) > 0, name


@pytest.mark.parametrize(
    ("text", "print_sets"),
    [
        ("SiO2:Al2O3 9.1", "SiO<sub>2</sub>:Al<sub>2</sub>O<sub>3</sub> 9.1"),
        ("R2O + RO, CaCO3, CaF2", "R<sub>2</sub>O + RO, CaCO<sub>3</sub>, CaF<sub>2</sub>"),
        ("ASTM C738, FFP3, P100, ISO 6486", "ASTM C738, FFP3, P100, ISO 6486"),
        ("10^2.3 Pa s", "10<sup>2.3</sup> Pa s"),
        ("5.7e-6 per K", "5.7\u00a0\u00d7\u00a010<sup>\u22126</sup> per K"),
        ("MnO 2e-06", "MnO 2\u00a0\u00d7\u00a010<sup>\u22126</sup>"),
        ("0.5 1e-6 per K", "0.5 10<sup>\u22126</sup> per K"),
        ("at 1222 C, 60 C/h, 3 %", "at 1222\u00a0°C, 60\u00a0°C/h, 3\u00a0%"),
        ("0.8 mg/dm2, by --firings", "0.8 mg/dm<sup>2</sup>, by <code>--firings</code>"),
        ("Settle by your own --firings", "Settle by your own firings"),
        ("10 ug/dm2", "10 µg/dm<sup>2</sup>"),
        ("CuCO3.Cu(OH)2", "CuCO<sub>3</sub>.Cu(OH)<sub>2</sub>"),
        ("a < b", "a &lt; b"),
    ],
)
def test_a_sentence_is_set_as_print_sets_it(text: str, print_sets: str):
    assert said(text) == print_sets


@given(st.text(max_size=60) | st.from_regex(r"([A-Z][a-z]?[0-9]|[<>&\"' ]|10\^-?[0-9]|[0-9]e-[0-9]|--[a-z]+){0,9}"))
def test_setting_a_sentence_adds_no_markup_of_its_words(text: str):
    for made in (said, figure, chemical):
        read = Read(f"<p>{made(text)}</p>")
        assert read.faults == []
        assert {tag for tag, _ in read.elements} <= {"p", "sub", "sup", "code"}
        assert not any(attrs for _, attrs in read.elements)
    assert Read(f"<p>{chemical(text)}</p>").words == " ".join(plain(text).split())


def test_a_character_that_no_page_may_carry_stands_there_by_its_number():
    notices = [gc.Notice("odd", "a\x1b[31m \u202eb \udcff")]
    read = sound(html_page(report(), notices=notices))
    assert "A<U+001B>[31m <U+202E>b <U+DCFF>" in read.words


def test_a_fragment_is_what_stands_in_main():
    found = report()
    part = fragment(found)
    assert f"<main>\n{part}\n</main>" in html_page(found)
    closed(Read(str(part)))


def test_a_value_without_an_html_page_shows_its_text_page():
    found = report()
    for value in (found.unity, found.cautions[0], found.estimates[0]):
        assert value is not None
        assert " ".join(str(value).split()) in sound(html_page(value)).words


def test_a_blank_sheet_of_a_material_is_no_page(called: Path, capsys: pytest.CaptureFixture[str]):
    ran = run(capsys, "materials", "--new", "Quay clay", "--html", "sheet.html")
    assert (ran.code, ran.out) == (2, "")
    assert "--html" in ran.err


def test_where_no_model_knows_its_error_no_figure_stands_without_asking():
    found = gc.check(LEAD, load_materials(), cone="04")
    short, whole = (Read(html_page(found, full=full)).words for full in (False, True))
    assert "None with a known error" in short
    assert "expansion, 20 to 400" not in short
    assert "expansion, 20 to 400" in whole
