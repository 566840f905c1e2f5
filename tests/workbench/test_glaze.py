"""One glaze: the card is kept as it was typed, what is wrong stands at its line, and nothing that was typed is lost."""

from __future__ import annotations

import errno
import html
import json
import os
import re
from pathlib import Path
from time import monotonic

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.workbench.line_ends import same_lines
from tests.workbench.bench import HOME, Workbench, opened, shown

BLACK = "/glaze/harbour-black.txt"


def typed(page: str) -> str:
    """What stands in the card's field, as a browser reads it: a line end behind the tag does not count."""
    found = re.search(r"<textarea[^>]*>\n(.*?)</textarea>", page, re.DOTALL)
    assert found is not None
    return html.unescape(found[1])


def save(bench: Workbench, text: str, *, seen: str = "", path: str = BLACK, do: str = "save", **more: str):
    """Send the card as a browser does: every line end as CR LF."""
    sent = text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\r\n")
    return bench.post(path, text=sent, do=do, seen=seen or bench.seen(path), **more)


def worked(bench: Workbench, text: str, name: str = "harbour-black.txt", **more: str):
    answer = bench.post("/work-out", name=name, text=text, **more)
    assert answer.status == 200
    return json.loads(answer.text)


@pytest.mark.parametrize(
    "data",
    [
        b"Plain   cone 6\nwhiting 50\nsilica 50\n",
        b"No last line end   cone 6\nwhiting 50\nsilica 50",
        b"Windows   cone 6\r\nwhiting 50\r\nsilica 50\r\n",
        b"Old   cone 6\rwhiting 50\rsilica 50\r",
        b"Mixed   cone 6\r\nwhiting 50\nsilica 50\r\n\r\n\n",
        b"\xef\xbb\xbfMark   cone 6\r\nwhiting 50\r\nsilica 50\r\n",
        b"\n\n\nLead   cone 6\nwhiting 50\n\tsilica 50   \n\n\n",
        "Blått \u00a0 cone 6\nwhiting 50\nsilica 50 # 🏺 “as is”\n".encode(),
    ],
)
def test_a_card_that_was_not_changed_is_the_same_bytes(bench: Workbench, data: bytes):
    place = bench.card("harbour-black.txt")
    place.write_bytes(data)
    page = bench.get(BLACK).text
    before = place.stat().st_mtime_ns
    answer = save(bench, typed(page))
    assert answer.headers["location"].endswith("said=same")
    assert place.read_bytes() == data
    assert place.stat().st_mtime_ns == before
    # one line more, at the end: the others keep their line ends
    answer = save(bench, typed(page) + "\n# tried")
    assert answer.status == 303
    now = place.read_bytes()
    assert now.startswith(data)
    assert now[len(data) :].strip() == b"# tried"


def test_saving_keeps_the_text_before_as_a_plain_file(bench: Workbench):
    place = bench.card("harbour-black.txt")
    first = place.read_bytes()
    text = typed(bench.get(BLACK).text).replace("33", "34")
    answer = save(bench, text)
    assert answer.status == 303
    assert place.read_text() == text
    (kept,) = (place.parent / ".glaze-history" / "harbour-black.txt").glob("*.txt")
    assert kept.read_bytes() == first
    page = bench.get(answer.headers["location"]).text
    assert "Saved." in shown(page)
    assert "Earlier versions (1)" in shown(page)


def test_undo_goes_back_through_all_versions_and_redo_forth(bench: Workbench):
    texts = [f"Step {n}   cone 6\nwhiting {40 + n}\nsilica 50\n" for n in range(4)]
    place = bench.card("harbour-black.txt")
    place.write_text(texts[0])
    for text in texts[1:]:
        assert save(bench, text).status == 303
    for text in (texts[2], texts[1], texts[0]):
        assert save(bench, place.read_text(), do="undo").headers["location"].endswith("said=back")
        assert place.read_text() == text
    assert save(bench, place.read_text(), do="undo").headers["location"].endswith("said=no-back")
    for text in texts[1:]:
        assert save(bench, place.read_text(), do="redo").headers["location"].endswith("said=forth")
        assert place.read_text() == text
    assert save(bench, place.read_text(), do="redo").headers["location"].endswith("said=no-forth")


def test_a_text_that_comes_twice_is_no_trap_for_undo(bench: Workbench):
    a, b = "A   cone 6\nwhiting 50\nsilica 50\n", "B   cone 6\nwhiting 40\nsilica 60\n"
    place = bench.card("harbour-black.txt")
    place.write_text(a)
    for text in (b, a, b):
        save(bench, text)
    seen = []
    while save(bench, place.read_text(), do="undo").headers["location"].endswith("said=back"):
        seen.append(place.read_text())
        assert len(seen) < 10
    assert seen == [a, b, a]


def test_what_was_saved_after_an_undo_hides_nothing(bench: Workbench):
    place = bench.card("harbour-black.txt")
    texts = [f"Step {n}   cone 6\nwhiting {40 + n}\nsilica 50\n" for n in range(3)]
    place.write_text(texts[0])
    save(bench, texts[1])
    save(bench, texts[2])
    save(bench, texts[2], do="undo")
    new = "Another   cone 6\nwhiting 10\nsilica 50\n"
    save(bench, new)
    kept = {path.read_text() for path in (place.parent / ".glaze-history").rglob("0*.txt")}
    assert kept == {*texts}
    assert place.read_text() == new


def test_undo_of_what_was_typed_and_not_saved_goes_to_the_saved_card_and_redo_brings_it_back(bench: Workbench):
    place = bench.card("harbour-black.txt")
    first, new = place.read_text(), "Typed   cone 6\nwhiting 10\nsilica 50\n"
    assert save(bench, new, do="undo").headers["location"].endswith("said=back")
    assert place.read_text() == first
    assert save(bench, first, do="redo").headers["location"].endswith("said=forth")
    assert place.read_text() == new


def test_redo_over_what_was_typed_is_refused_and_the_text_stays(bench: Workbench):
    answer = save(bench, "Typed   cone 6\nwhiting 10\n", do="redo")
    assert answer.status == 409
    assert typed(answer.text) == "Typed   cone 6\nwhiting 10\n"


def test_two_windows_the_second_is_asked_and_nothing_is_lost(bench: Workbench):
    place = bench.card("harbour-black.txt")
    seen = bench.seen(BLACK)
    save(bench, "First window   cone 6\nwhiting 50\nsilica 50\n", seen=seen)
    second = "Second window   cone 6\nwhiting 20\nsilica 80\n"
    answer = save(bench, second, seen=seen)
    assert answer.status == 409
    assert "The file has changed meanwhile" in shown(answer.text)
    assert typed(answer.text) == second
    assert place.read_text().startswith("First window")
    now = re.search(r'name="seen" value="(\w+)"', answer.text)
    assert now is not None
    assert save(bench, second, seen=now[1]).status == 303
    assert place.read_text() == second
    assert any("First window" in path.read_text() for path in (place.parent / ".glaze-history").rglob("0*.txt"))


def test_two_servers_on_one_folder_ask_as_well(bench: Workbench):
    other = opened(bench.folder)
    seen = other.seen(BLACK)
    save(bench, "Here   cone 6\nwhiting 50\nsilica 50\n")
    assert save(other, "There   cone 6\nwhiting 20\nsilica 80\n", seen=seen).status == 409
    assert bench.card("harbour-black.txt").read_text().startswith("Here")


@pytest.mark.parametrize("do", ["undo", "redo", "put-back", "save-as"])
def test_no_button_writes_over_what_was_not_seen(bench: Workbench, do: str):
    save(bench, "One   cone 6\nwhiting 50\nsilica 50\n")
    seen = bench.seen(BLACK)
    place = bench.card("harbour-black.txt")
    place.write_text("By another program   cone 6\nwhiting 1\n")
    answer = save(bench, "x", seen=seen, do=do, number="1", **{"as": "chalk-satin"})
    assert answer.status == 409
    assert place.read_text().startswith("By another program")
    assert bench.card("chalk-satin.txt").read_text().startswith("Chalk Satin")


def test_a_file_deleted_meanwhile_is_said_and_can_be_made_again(bench: Workbench):
    place = bench.card("harbour-black.txt")
    seen, text = bench.seen(BLACK), "Mine   cone 6\nwhiting 50\nsilica 50\n"
    place.unlink()
    answer = save(bench, text, seen=seen)
    assert answer.status == 409
    assert "The file is gone" in shown(answer.text)
    assert typed(answer.text) == text
    assert not place.exists()
    assert save(bench, text, seen="none").status == 303
    assert place.read_text() == text
    assert bench.get("/glaze/never-was.txt").status == 404


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "No space left"), (errno.EROFS, "Read-only"), (errno.EACCES, "Permission denied"), (errno.EIO, "")],
)
def test_a_disk_that_takes_nothing_is_said_in_a_sentence_and_the_text_comes_back(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch, number: int, words: str
):
    place = bench.card("harbour-black.txt")
    before, text = place.read_bytes(), "Mine   cone 6\nwhiting 50\nsilica 50\n"
    seen = bench.seen(BLACK)

    def full(*_given: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("os.fsync", full)
    for form in ({"do": "save"}, {"do": "undo"}, {"do": "save-as", "as": "another"}):
        answer = save(bench, text, seen=seen, **form)
        assert answer.status == 409
        assert "cannot be" in shown(answer.text)
        assert words in shown(answer.text)
        assert str(bench.folder) not in answer.text
        assert typed(answer.text) == text
    monkeypatch.undo()
    assert place.read_bytes() == before
    assert not bench.card("another.txt").exists()
    left = {path.name for path in bench.folder.rglob("*") if path.suffix == ".part"}
    assert left == set()


@pytest.mark.skipif(
    os.name == "nt" or os.geteuid() == 0, reason="who may do everything is not stopped by a folder's permissions"
)
def test_a_read_only_folder(bench: Workbench):
    place = bench.card("harbour-black.txt")
    os.chmod(place.parent, 0o500)
    answer = save(bench, "Mine   cone 6\nwhiting 50\n")
    os.chmod(place.parent, 0o700)
    assert answer.status == 409
    assert "Permission denied" in shown(answer.text)


def test_history_that_leads_out_is_not_written(bench: Workbench, tmp_path: Path):
    (tmp_path / "elsewhere").mkdir()
    (bench.folder / "recipes" / ".glaze-history").symlink_to(tmp_path / "elsewhere")
    before = bench.card("harbour-black.txt").read_bytes()
    answer = save(bench, "Mine   cone 6\nwhiting 50\nsilica 50\n")
    assert answer.status == 409
    assert "leads out of the studio's folder" in shown(answer.text)
    assert bench.card("harbour-black.txt").read_bytes() == before
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize("text", ["a\0b", "a\x1bb", "a\u202eb", "x" * 20_001, "\x85"])
def test_what_is_no_text_is_not_saved_and_comes_back(bench: Workbench, text: str):
    before = bench.card("harbour-black.txt").read_bytes()
    answer = save(bench, text)
    assert answer.status == 409
    assert "Line 1" in shown(answer.text)
    assert bench.card("harbour-black.txt").read_bytes() == before


def test_a_new_glaze_gets_its_file_and_takes_no_other_ones_place(bench: Workbench):
    text = "Fresh   cone 6\nwhiting 50\nsilica 50\n"
    assert "New glaze" in bench.get("/new").text
    answer = save(bench, text, path="/new", seen="none", **{"as": "fresh"})
    assert answer.headers["location"].startswith("/glaze/fresh.txt")
    assert bench.card("fresh.txt").read_text() == text
    assert save(bench, "Named by Title\nwhiting 1\nsilica 1\n", path="/new", seen="none", **{"as": " "}).status == 303
    half = save(bench, "Half a Card   cone 6\nwhiting 1\nsilica\n", path="/new", seen="none", **{"as": ""})
    assert half.headers["location"].startswith("/glaze/half-a-card.txt"), "the title names it, whatever is wrong below"
    assert bench.card("named-by-title.txt").exists()
    for name in ("fresh", "FRESH.txt", "../fresh2"):
        answer = save(bench, "Other   cone 6\nsilica 1\n", path="/new", seen="none", **{"as": name})
        assert answer.status == 409
        assert typed(answer.text) == "Other   cone 6\nsilica 1\n"
    assert bench.card("fresh.txt").read_text() == text


def test_save_as_leaves_the_first_card_alone(bench: Workbench):
    before = bench.card("harbour-black.txt").read_bytes()
    answer = save(bench, "Copy   cone 6\nwhiting 50\nsilica 50\n", do="save-as", **{"as": "harbour black 2"})
    assert answer.headers["location"].startswith("/glaze/harbour%20black%202.txt")
    assert bench.card("harbour-black.txt").read_bytes() == before
    assert bench.get("/glaze/harbour%20black%202.txt").status == 200


def test_an_earlier_version_is_shown_with_its_differences_and_put_back(bench: Workbench):
    place = bench.card("harbour-black.txt")
    first = place.read_text()
    save(bench, first.replace("33", "30"))
    page = bench.get(f"{BLACK}/earlier/1").text
    assert re.search(r"only-old.*?Potash feldspar +33", page)
    assert re.search(r"only-new.*?Potash feldspar +30", page)
    assert save(bench, "", do="put-back", number="1").headers["location"].endswith("said=put-back")
    assert place.read_text() == first
    for number in ("0", "99", "../1", "x"):
        assert bench.get(f"{BLACK}/earlier/{number}").status == 404
        assert save(bench, "", do="put-back", number=number).status == 404


def test_a_line_that_is_wrong_is_marked_and_a_doubtful_one_too(bench: Workbench):
    found = worked(bench, "T   cone 6\nwhiting 1,500\nspar 30\nsilica 20\n")
    assert [(line, kind) for line, kind, _ in found["marks"]] == [(2, "wrong"), (3, "wrong")], (
        "names are looked up all the same"
    )
    assert found["answer"] is None
    assert 'data-line="2"' in found["beside"]
    found = worked(bench, "T   cone 6\nwhiting 15,5\nspar 30\nsilica 20\nunobtainium 2\n")
    assert [(line, kind) for line, kind, _ in found["marks"]] == [(3, "wrong"), (5, "wrong")]
    assert not re.search(r"glazecalc |--[a-z]", " ".join(text for *_, text in found["marks"])), "no command in a page"
    assert "Materials, New bag." in found["marks"][-1][2]
    found = worked(bench, "T   cone 6\nwhiting 15,5\npotash feldspar (200 mesh) 30\nsilica 20\nsilica 22\nkaolin 0\n")
    assert [line for line, _, _ in found["marks"]] == [2, 3, 5, 6]
    assert {kind for _, kind, _ in found["marks"]} == {"doubtful"}
    assert found["answer"] is not None


def test_without_script_the_marks_stand_in_the_gutter(bench: Workbench):
    answer = bench.post(BLACK, text="T   cone 6\r\nwhiting 1,500\r\nsilica 20\r\n", do="work-out", seen="x")
    assert answer.status == 200
    assert re.findall(r'<li class="(\w+)">(\d+)</li>', answer.text) == [("wrong", "2")]
    assert "line 2" in shown(answer.text)
    assert bench.card("harbour-black.txt").read_text().startswith("Harbour Black")


def test_what_has_changed_against_the_saved_card_is_said(bench: Workbench):
    text = bench.card("harbour-black.txt").read_text()
    assert "changes" not in worked(bench, text)["beside"]
    words = shown(worked(bench, text.replace("22", "30"))["beside"])
    assert re.search(r"SiO 2 3\.58 4\.\d\d \+0\.\d\d", words)
    assert "expansion" in words
    assert "down" in words
    assert not re.search(r"[+\u2212-]0\.0+ ", shown(worked(bench, text.replace("33", "33.2"))["beside"]))
    words = shown(worked(bench, text.replace("cone 6 ox", "cone 10 red"))["beside"])
    assert "cone cone 6 cone 10" in words
    assert "atmosphere oxidation reduction" in words
    assert "no difference in any digit" in shown(worked(bench, text + "# a remark\n")["beside"])


def test_a_body_of_the_folder_is_chosen_by_its_file_and_no_other_is(bench: Workbench):
    text = bench.card("harbour-black.txt").read_text()
    assert "Osier Fold stoneware" in shown(worked(bench, text, body="body-slate.yaml")["answer"])
    assert "Osier Fold stoneware" not in shown(worked(bench, text, body="../studio/body-slate.yaml")["answer"])
    assert "Osier Fold stoneware" in shown(bench.get(f"{BLACK}?body=body-slate.yaml").text)


def test_a_material_file_that_is_wrong_is_named_and_the_rest_goes_on(bench: Workbench):
    (bench.folder / "materials" / "broken.yaml").write_text("name: Broken\nanalysis: {SiO2: sixty}\n")
    (bench.folder / "body-broken.yaml").write_text("nothing: 1\n")
    page = shown(bench.get("/").text)
    assert "broken.yaml" in page
    assert "body-broken.yaml" in page
    assert "Left out of the library" in shown(bench.get(BLACK).text)
    assert worked(bench, bench.card("harbour-black.txt").read_text())["answer"] is not None


def test_a_changed_material_counts_at_once(bench: Workbench):
    text = bench.card("harbour-black.txt").read_text()
    before = worked(bench, text)["answer"]
    sheet = bench.folder / "materials" / "studio_frit_calcium_borate.yaml"
    sheet.write_text(re.sub(r"B2O3: [\d.]+", "B2O3: 5", sheet.read_text()))
    assert worked(bench, text)["answer"] != before


NASTY = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</textarea></title><svg onload=x> 🏺🐟",
    "{{ 7 * 7 }} {% raw %} &lt;b&gt; ' onmouseover='x",
    "javascript:alert(1) <!-- x ]]> \\u003cscript\\u003e",
]


@pytest.mark.parametrize("nasty", NASTY)
def test_markup_in_any_field_is_text(bench: Workbench, nasty: str):
    card = f"name: {nasty}\ncone 6 ox\nuse: plate\nversion: {nasty}\nnote: {nasty}\nbody: {nasty}\nPotash feldspar 40 # {nasty}\nwhiting 20\nsilica 40\nkaolin 12\n"
    file = bench.card("nasty.txt")
    file.write_text(card)
    named = bench.folder / "recipes" / f"{nasty.replace('/', '-')}.txt"
    named.write_text(card)
    (bench.folder / "recipes" / "bad.txt").write_text(f"{nasty} 1,500\n{nasty}\n")
    (bench.folder / "body-nasty.yaml").write_text(f"name: {json.dumps(nasty)}\n")
    (bench.folder / "materials" / "nasty.yaml").write_text(f"name: {json.dumps(nasty)}\nanalysis: x\n")
    from urllib.parse import quote

    path = f"/glaze/{quote(named.name, safe='')}"
    pages = [
        bench.get("/").text,
        bench.get("/?q=" + quote(nasty, safe="")).text,
        bench.get("/glaze/nasty.txt?said=" + quote(nasty, safe="") + "&body=" + quote(nasty, safe="")).text,
        bench.get(path).text,
        bench.get("/glaze/bad.txt").text,
        bench.post("/new", text=nasty, do="save", seen=nasty, body=nasty, name=nasty, **{"as": nasty}).text,
        bench.post(path, text=nasty, do="save", seen=nasty).text,
        worked(bench, f"{nasty}\n{nasty} 1,500", name=nasty)["beside"],
        worked(bench, card, name="nasty.txt")["answer"],
    ]
    for page in pages:
        tags = [re.sub(r'="[^"]*"', '=""', tag) for tag in re.findall(r"<[^>]*>", page)]
        assert not [tag for tag in tags if re.search(r"<img|<script(?! src)|\son\w+\s*=|javascript:", tag)]
        assert page.count("<script") in (0, 1)
    assert typed(pages[2]) == card
    assert typed(pages[5]) == nasty


def test_random_requests_get_an_answer_and_change_nothing(bench: Workbench):
    """A few hundred here; how many more is a matter of patience: GLAZECALC_REQUESTS."""
    import random

    luck = random.Random(15)
    words = [
        "glaze",
        "new",
        "work-out",
        "static",
        "start",
        "..",
        "%2e%2e",
        "harbour-black.txt",
        "earlier",
        "1",
        "",
        "%00",
        "%ff",
        "workbench.js",
        "\\",
        "é".encode().hex(),
        "%f0%9f%90%9f",
        "a" * 500,
        "?",
        "token=",
    ]
    fields = ["text", "do", "seen", "as", "name", "body", "number", "with", "q", ""]
    values = [
        "",
        "save",
        "undo",
        "redo",
        "put-back",
        "none",
        "1",
        "0" * 64,
        "x\0y",
        "🐟",
        "\ud800",
        "a" * 3000,
        "../../x",
        "<b>",
        "whiting 1\nsilica 1",
        "1e999",
        "%",
        "&",
        "\x1b[31m",
    ]
    methods = ["GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "BREW", "get"]
    before = {path: path.read_bytes() for path in bench.folder.rglob("*") if path.is_file()}
    for _ in range(int(os.environ.get("GLAZECALC_REQUESTS", "300"))):
        address = "/" + "/".join(luck.choices(words, k=luck.randint(0, 4)))
        form = {
            luck.choice(fields): luck.choice(values).encode("utf-8", "replace").decode()
            for _ in range(luck.randint(0, 5))
        }
        if form.get("do") in ("save", "put-back") and form.get("seen", "") in ("", "none"):
            form["seen"] = "x"  # what was seen decides whether a card is written: here it never is
        form.pop("as", None) if "/new" in address else None
        form.pop("with", None)
        answer = bench.client.send(
            luck.choice(methods), address, form=form, headers={"origin": HOME} if luck.random() < 0.8 else {}
        )
        assert answer.status < 500, (address, form)
        assert "traceback" not in answer.text.lower()
        assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert {path: path.read_bytes() for path in bench.folder.rglob("*") if path.is_file()} == before


def test_long_cards_that_differ_in_every_line_are_laid_side_by_side_in_no_time(bench: Workbench):
    old = "".join(f"# remark {n} as it was\r\n" for n in range(1500))
    bench.card("rill-clear.txt").write_text(f"{old}# a\nfoot\n", newline="")
    mine = "".join(f"# remark {n} as it is now\n" for n in range(1500))
    began = monotonic()
    answer = save(bench, f"{mine}# b\nfoot\n", path="/glaze/rill-clear.txt", seen="none")
    assert answer.status == 409  # it was changed meanwhile
    assert monotonic() - began < 10  # a comparison letter by letter takes minutes
    assert answer.text.count('<li class="only-old">') == answer.text.count('<li class="only-new">') == 1501
    assert save(bench, f"{mine}# b\nfoot\n", path="/glaze/rill-clear.txt").status == 303
    assert bench.card("rill-clear.txt").read_bytes().endswith(b"foot\n")


@given(st.lists(st.sampled_from("abc"), max_size=12), st.lists(st.sampled_from("abc"), max_size=12))
def test_lines_in_common_are_in_both_and_in_order(old: list[str], new: list[str]):
    here = there = 0
    for at, to, length in same_lines(old, new):
        assert at >= here
        assert to >= there
        assert old[at : at + length] == new[to : to + length]
        here, there = at + length, to + length
    assert (here, there) == (len(old), len(new))
