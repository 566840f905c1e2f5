"""What is done with a glaze: every verb answers its form with the command line's own page, and no field is more than a value."""

from __future__ import annotations

import asyncio
import hashlib
import html
import re
import tempfile
from pathlib import Path
from urllib.parse import urlencode

import pytest

from glazecalc.cli.collect import collected
from glazecalc.cli.verbs import VERBS
from glazecalc.errors import GlazeError
from glazecalc.show.html import fragment
from glazecalc.workbench import asking
from glazecalc.workbench.fields import NEVER, fields_of
from glazecalc.workbench.jobs import FREE, JOBS, Job
from tests.workbench.bench import Workbench, shown

BLACK = "/glaze/harbour-black.txt/do"
CLEAR = "/glaze/rill-clear.txt/do"
# A form of each job, filled in, and a word or figure that its answer must hold.
FILLED: dict[str, tuple[str, dict[str, str], str]] = {
    "scale": (BLACK, {"base": "300g", "step": "0.1g"}, "99.0"),  # 33 of 100 parts of 300 g
    "slurry": (BLACK, {"sample": "500 ml 735 g", "volume": "6l", "to": "10l", "sg": "1.45"}, "1.47"),  # 735 g / 500 ml
    "mend": (
        BLACK,
        {"weighed-0": "330", "weighed-1": "200", "weighed-2": "80", "weighed-3": "40", "weighed-4": "400", "weighed-5": "220",
         "besides": "Red iron oxide 80\ncobalt carbonate 10", "all-in": "1090g"},
        "Kaolin",
    ),
    "label": (BLACK, {"all-in": "5kg", "date": "4 May", "batch-no": "T 9"}, "T 9"),
    "substitute": (CLEAR, {"without": "Talc", "also": "dolomite"}, "Dolomite"),
    "nudge": (CLEAR, {"wishes": "kaolin +1"}, "Kaolin"),
    "match": (CLEAR, {"only": "potash feldspar\nkaolin\nsilica\nwhiting\ndolomite\nstudio calcium borate frit"}, "Dolomite"),
    "blend": (CLEAR, {"others": "harbour-black.txt", "side": "3", "tile": "50g"}, "Harbour Black"),
    "check": (CLEAR, {"use": "bowl", "body": "body-slate.yaml", "firings": "firings.csv"}, "Osier Fold"),
    "compare": (CLEAR, {"second": "harbour-black.txt"}, "Harbour Black"),
    "calibrate": (CLEAR, {"firings": "firings.csv", "body-name": "Osier Fold stoneware"}, "4.7 to 5.8"),
    "cost": (BLACK, {"prices": "prices.csv", "stock": "shelf.csv", "all-in": "1.09kg"}, "EUR"),
    "cone": ("/do", {"what": "6", "rate": "60C/h"}, "1222"),  # the self-supporting cone 6 at 60 C an hour (Orton's chart)
    "size": ("/do", {"shrinkage": "12.5%", "want": "7in"}, "8"),  # 7 in fired of 8 in thrown at 12.5 %
    "lab": ("/do", {"typed": "element,value,unit\r\nPb,0.03,mg/dm2", "ware": "plate", "depth": "18mm", "area": "2.8dm2"}, "0.8"),
}  # fmt: skip


def ask(bench: Workbench, job: str, **fields: str):
    place, filled, _ = FILLED[job]
    return bench.get(f"{place}/{job}?{urlencode({'asked': '1', **filled, **fields})}")


def answer_of(page: str) -> str:
    """The words of the answer; empty where there is none."""
    return shown(page.partition('<div class="answer-page"')[2].partition("</main>")[0].partition(">")[2])


def alert_of(page: str) -> str:
    found = re.search(r'<div class="told wrong" role="alert".*?</div>', page, re.DOTALL)
    return shown(found[0]) if found else ""


def tree(folder: Path) -> dict[str, str]:
    return {
        str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in folder.rglob("*") if p.is_file()
    }


def test_every_option_of_a_verb_is_on_a_form_or_is_never_taken_from_one():
    assert {job.verb for job in (*JOBS, *FREE)} == set(VERBS) - {"materials", "open"}  # which have pages of their own
    # the form makes two of them from the card and from what was typed; no sheet or label is written of a slurry
    supplied = {"calibrate": {"place"}, "mend": {"weighed"}, "slurry": {"date", "batch-no"}}
    for verb in {job.verb for job in (*JOBS, *FREE)}:
        on_forms = {name for job in (*JOBS, *FREE) if job.verb == verb for name in job.names}
        assert on_forms | supplied.get(verb, set()) == set(fields_of(verb)), verb
        assert not on_forms & NEVER


def test_a_form_speaks_in_the_words_of_the_help():
    sg, convention, without = fields_of("scale")["sg"], fields_of("check")["convention"], fields_of("match")["without"]
    assert (sg.label, sg.hint) == ("Specific gravity of the slurry", "e.g. 1.45")
    assert convention.kind == "ticks"
    assert "boron-with-silica" in convention.choices
    assert (without.label, without.kind) == ("A material that must not be used", "lines")
    step = fields_of("check")["step"]
    assert (step.label, step.hint) == ("Step of your scale", "e.g. 1g. With --spread.")
    assert fields_of("substitute")["least"].hint == "name=parts; one a line"
    assert fields_of("lab")["depth"].hint == "e.g. 18mm"
    assert fields_of("size")["bar"].hint == "e.g. 100 93.5 87.6; one a line"
    assert fields_of("scale")["jug"].hint == "left blank: 2l. Needs --sg."
    assert (fields_of("scale")["date"].label, fields_of("scale")["batch-no"].label) == ("Date", "Batch number or maker")
    assert fields_of("scale")["gain"].hint == "e.g. 63g; one a line"
    for verb in {job.verb for job in (*JOBS, *FREE)}:
        for field in fields_of(verb).values():
            assert '"' not in field.label + field.hint, "quotes are for a shell"
            assert 0 < len(field.label) < 110, (verb, field)


@pytest.mark.parametrize("job", [*JOBS, *FREE], ids=lambda job: job.key)
def test_every_verb_answers_its_form(bench: Workbench, job: Job):
    place, filled, expected = FILLED[job.key]
    empty = bench.get(f"{place}/{job.key}")
    assert empty.status == 200
    assert "answer-page" not in empty.text
    assert f'href="{place}/{job.key}"' in bench.get(place).text
    assert f'/do/{job.key}"' in bench.get(BLACK).text
    page = ask(bench, job.key)
    assert page.status == 200
    assert alert_of(page.text) == ""
    assert expected in answer_of(page.text), answer_of(page.text)[:500]
    assert str(bench.folder) not in page.text
    for value in filled.values():  # what was typed stands there still
        for line in value.split():
            assert html.escape(line, quote=False) in page.text


def test_the_tab_key_leads_from_field_to_field(bench: Workbench):
    form = bench.get(f"{BLACK}/scale").text
    ways = re.findall(r'<a class="field"[^>]*>', form)
    assert ways
    assert all('tabindex="-1"' in way for way in ways)


def test_a_list_that_the_folder_has_not_is_asked_for(bench: Workbench):
    for name in ("prices.csv", "shelf.csv"):  # either may hold both
        bench.folder.joinpath(name).unlink()
    assert "Not in the folder yet. Write prices.csv" in bench.get(f"{BLACK}/cost").text


def test_the_answer_is_the_page_of_the_command_line(bench: Workbench):
    found = collected(
        "scale", "--base=300g", "--step=0.1g", f"--materials={bench.folder}/materials", "--", str(bench.card("harbour-black.txt"))
    )  # fmt: skip
    assert shown(fragment(found.value, notices=found.notices, **found.options)) == answer_of(ask(bench, "scale").text)


ODD = (
    "--replace",
    "-h",
    "--help",
    "@recipes/rill-clear.txt",
    "../x",
    "-",
    "--",
    "--html=x.html",
    "=",
    "a\0b",
    "\u202e",
    "x\n--json",
)


def test_no_value_becomes_an_option(bench: Workbench, monkeypatch: pytest.MonkeyPatch):
    calls: list[tuple[str, ...]] = []

    def called(verb: str, *words: str) -> None:
        calls.append(words)
        raise GlazeError("enough seen")

    monkeypatch.setattr(asking, "collected", called)
    files = ("body", "firings", "prices", "stock", "second", "others", "results")
    for job in (*JOBS, *FREE):
        place, filled, _ = FILLED[job.key]
        known = {*job.names, "materials", "label", "place", "weighed"}
        for given in ODD:
            odd = dict.fromkeys([n for n in (*job.names, "wishes", "what", "besides") if n not in files], given)
            page = bench.get(f"{place}/{job.key}?{urlencode({'asked': '1', **filled, **odd})}")
            assert alert_of(page.text) == "Enough seen", job.key
            options = calls[-1][: calls[-1].index("--")]
            for word in options:
                name, equals, _ = word.partition("=")
                assert name.removeprefix("--") in known
                assert equals or job.field(name.removeprefix("--")).kind == "flag"
    assert len(calls) == len(ODD) * len((*JOBS, *FREE))


@pytest.mark.parametrize("given", ODD)
def test_a_word_that_looks_like_an_option_is_answered_as_a_word(bench: Workbench, given: str):
    before = tree(bench.folder)
    for path, field in ((f"{CLEAR}/nudge", "wishes"), ("/do/cone", "what"), (f"{BLACK}/scale", "base")):
        page = bench.get(f"{path}?{urlencode({'asked': '1', field: given})}")
        assert page.status == 200
        assert alert_of(page.text)
        assert "Usage:" not in page.text
    assert tree(bench.folder) == before


def test_what_writes_a_file_is_never_taken_from_a_form(bench: Workbench, tmp_path: Path):
    before, out = tree(bench.folder), tmp_path / "out.html"
    page = ask(bench, "scale", **dict.fromkeys(NEVER, str(out)))
    assert page.status == 200
    assert "99.0" in answer_of(page.text)
    assert not out.exists()
    assert tree(bench.folder) == before


@pytest.mark.parametrize(
    "name", ["../prices.csv", "/etc/passwd", "prices.csv\0", "recipes/rill-clear.txt", ".glaze-history", "\udcff"]
)
def test_files_are_the_folder_s_own(bench: Workbench, name: str):
    for job, field in (
        ("cost", "prices"),
        ("check", "body"),
        ("calibrate", "firings"),
        ("compare", "second"),
        ("lab", "results"),
    ):
        place, filled, _ = FILLED[job]
        sent = urlencode({"asked": "1", **filled, field: name}, errors="surrogateescape")
        page = bench.get(f"{place}/{job}?{sent}")
        assert page.status == 200
        assert "none of the files of the folder" in alert_of(page.text)


def test_the_bodies_of_the_firings_are_offered(bench: Workbench):
    page = bench.get(f"{CLEAR}/calibrate").text
    assert '<option value="Osier Fold stoneware">' in page
    (bench.folder / "firings.csv").write_text("no,table\n")
    (bench.folder / "firings-new-clay.csv").unlink()
    assert "<datalist" not in bench.get(f"{CLEAR}/calibrate").text


def test_a_form_begins_with_the_studio_s_own_lists_and_names(bench: Workbench):
    for job in ("cost", "substitute", "match"):
        assert '<option value="shelf.csv" selected>' in bench.get(f"{CLEAR}/{job}").text
    assert '<option value="harbour-black.txt">Harbour Black</option>' in bench.get(f"{CLEAR}/compare").text
    (bench.folder / "shelf.csv").unlink()
    assert "shelf.csv" not in bench.get(f"{CLEAR}/substitute").text


def test_a_link_out_of_the_folder_is_not_followed(bench: Workbench, tmp_path: Path):
    secret = tmp_path / "secret.csv"
    secret.write_text("material,pack,price,currency\nkaolin,25 kg,999.99,EUR\n")
    (bench.folder / "prices.csv").unlink()
    (bench.folder / "prices.csv").symlink_to(secret)
    assert "none of the files" in alert_of(ask(bench, "cost").text)
    (bench.folder / "materials" / "x.yaml").symlink_to(secret)
    assert "out of the studio" in alert_of(ask(bench, "scale").text)


def test_firings_that_name_a_recipe_outside_are_refused(bench: Workbench, tmp_path: Path):
    (tmp_path / "outside.txt").write_text("Secret Glaze   cone 6\npotash feldspar 100\n")
    (bench.folder / "firings.csv").write_text("recipe,body,cone,result\n../outside,Osier Fold stoneware,6,sound\n")
    for job in ("calibrate", "check"):
        page = ask(bench, job)
        assert "outside of the studio" in alert_of(page.text)
        assert "Secret Glaze" not in page.text


def test_an_error_stands_at_the_form_in_its_words_with_what_was_typed(bench: Workbench):
    page = bench.get(f"{BLACK}/scale?asked=1&fill=10l&step=0.5g").text
    assert "At which specific gravity? Add sg 1.45" in alert_of(page)
    assert 'href="#sg"' in page
    assert 'name="fill" value="10l"' in page
    assert 'name="step" value="0.5g"' in page
    page = bench.get(f"{BLACK}/mend?asked=1&weighed-0=abc").text
    assert "what went in: " in alert_of(page)
    assert ".txt" not in alert_of(page)
    assert tempfile.gettempdir() not in alert_of(page)


def test_a_card_that_cannot_be_read_is_to_be_mended_first(bench: Workbench):
    bench.card("harbour-black.txt").write_text("Black   cone 6\nwhiting 1,500\n")
    for path in (BLACK, f"{BLACK}/scale", f"{BLACK}/scale?asked=1&base=300g"):
        page = bench.get(path)
        assert page.status == 200
        assert "1,500" in alert_of(page.text)
    assert bench.get("/glaze/none.txt/do").status == 404
    assert bench.get("/glaze/none.txt/do/scale").status == 404
    assert bench.get(f"{CLEAR}/none").status == 404
    assert bench.get("/do/scale").status == 404


def test_markup_in_any_field_is_text(bench: Workbench):
    bad = '"><script>alert(1)</script>'
    for job in (*JOBS, *FREE):
        place, filled, _ = FILLED[job.key]
        extra = ("wishes", "what", "typed", "besides", "weighed-0", "second", "others", "firings", "results")
        fields = {"asked": "1", **filled, **dict.fromkeys((*job.names, *extra), bad)}
        page = bench.get(f"{place}/{job.key}?{urlencode(fields)}")
        assert page.status == 200
        assert "<script>alert" not in page.text


def saved(bench: Workbench, page: str) -> Path:
    """Press the first “Save” under an answer, and return the file."""
    form = re.search(r'<form method="post" action="/new">.*?</form>', page, re.DOTALL)
    assert form is not None
    text, name = (
        html.unescape(re.search(rf'name="{field}" value="(.*?)"', form[0], re.DOTALL)[1]) for field in ("text", "as")
    )
    answer = bench.post("/new", text=text.replace("\n", "\r\n"), **{"as": name, "do": "save-as"})
    assert answer.status == 303
    return bench.card(f"{name}.txt")


def test_an_answer_is_saved_as_a_new_card_based_on_the_old(bench: Workbench):
    card = saved(bench, ask(bench, "substitute").text)
    assert card.name == "rill-clear-without-talc.txt"
    text = card.read_text()
    assert "based on: Rill Clear" in text
    assert "Dolomite" in text
    assert "Talc" not in text
    assert "Rill Clear without talc" in shown(bench.get("/").text)
    again = re.search(r'name="as" value="(.*?)"', ask(bench, "substitute").text)
    assert again is not None
    assert again[1] == "rill-clear-without-talc-2"  # the name that is taken is not offered
    assert "based on: Rill Clear" in saved(bench, ask(bench, "nudge").text).read_text()


def test_typed_results_are_kept_nowhere(bench: Workbench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    before = tree(bench.folder)
    (tmp_path / "temp").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temp"))
    assert "0.03" in answer_of(ask(bench, "lab").text)
    assert "Release results of what was typed" in answer_of(ask(bench, "lab").text)
    page = ask(bench, "lab", typed="element,value,unit\nPb,much,mg/dm2")
    assert "the results as typed: " in alert_of(page.text)
    assert ".csv" not in alert_of(page.text)
    assert "Line 2" in alert_of(page.text)
    assert not list((tmp_path / "temp").iterdir())
    assert tree(bench.folder) == before


def test_a_search_is_not_made_where_requests_are_taken_in(bench: Workbench, monkeypatch: pytest.MonkeyPatch):
    def called(_verb: str, *_words: str) -> None:
        try:
            asyncio.get_running_loop()
        except RuntimeError:
            raise GlazeError("in a thread of its own") from None

    monkeypatch.setattr(asking, "collected", called)
    assert alert_of(bench.get(f"{BLACK}/match?asked=1").text) == "In a thread of its own"


def test_results_of_the_folder_are_chosen(bench: Workbench):
    (bench.folder / "heron-plate.csv").write_text("element,value,unit\nCd,0.2,mg/dm2\n")
    page = bench.get("/do/lab?asked=1&results=heron-plate.csv&ware=plate&depth=18mm&area=2.8dm2").text
    assert "0.2" in answer_of(page)
    assert "prices.csv" not in page


def test_the_studio_s_own_materials_are_used(bench: Workbench):
    (bench.folder / "materials" / "studio_frit_calcium_borate.yaml").unlink()
    assert "calcium borate" in alert_of(ask(bench, "scale").text)


def test_the_weighing_list_has_boxes_and_its_script_is_our_own_file(bench: Workbench):
    page = ask(bench, "scale").text
    assert page.count('<input type="checkbox" id="weigh-') == 8
    assert '<script src="/static/ticks.js" defer></script>' in page
    script = bench.get("/static/ticks.js")
    assert script.status == 200
    assert "localStorage" in script.text


@pytest.mark.parametrize(("job", "field"), [("substitute", "without"), ("nudge", "wishes"), ("check", "body")])
def test_what_no_page_can_hold_stands_in_a_fault_by_its_number(bench: Workbench, job: str, field: str):
    page = ask(bench, job, **{field: "a\x00\u202eb"}).text
    assert "<U+202E>" in shown(page)
    assert not set(page) & {"\x00", "\u202e"}


def test_a_disk_without_room_for_what_was_typed_is_said(bench: Workbench, monkeypatch: pytest.MonkeyPatch):
    def full(*_given: object, **_named: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    for job in ("lab", "mend"):
        answer = ask(bench, job)
        assert answer.status == 200
        assert "No space left on device" in shown(answer.text)
