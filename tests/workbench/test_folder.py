"""What of a folder is shown, and that nothing outside of it is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from glazecalc.errors import FileFaultsError
from glazecalc.workbench.folder import Studio, new_name
from tests.workbench.bench import HOME, Workbench, copy_of_the_studio, opened, shown

TRICKS = [
    "..", "../secret.txt", "..%2fsecret.txt", "%2e%2e%2fsecret.txt", "%2e%2e/secret.txt", "..%5csecret.txt", "....//secret.txt", "%2fetc%2fpasswd", "/etc/passwd",
    "harbour-black.txt%00.png", "%00", "harbour-black.txt/", "harbour-black.txt/..", ".glaze-history", ".glaze-history%2fharbour-black.txt", "c:%5cboot.ini",
    "harbour-black.txt%20", "HARBOUR-BLACK.TXT%2e", "%c0%ae%c0%ae%2fsecret.txt", "%ff", "a" * 300, "con", "nul.txt", "harbour-black.txt::$DATA", "~", "%0d%0aSet-Cookie:%20x=1",
]  # fmt: skip


def test_no_path_leads_out(bench: Workbench):
    (bench.folder / "secret.txt").write_text("Secret   cone 6\nwhiting 100\n")
    (bench.folder.parent / "secret.txt").write_text("Secret   cone 6\nwhiting 100\n")
    everything = {path: path.read_bytes() for path in bench.folder.parent.rglob("*") if path.is_file()}
    for trick in TRICKS:
        form = {"text": "x 1", "do": "save", "seen": "none"}
        for answer in (
            bench.get(f"/glaze/{trick}"),
            bench.get(f"/glaze/{trick}/earlier/1"),
            bench.get(f"/static/{trick}"),
            bench.client.send("POST", f"/glaze/{trick}", form=form, headers={"origin": HOME}),
        ):
            assert answer.status in (400, 404, 405), trick
            assert "Secret" not in answer.text
            assert "root:" not in answer.text
            assert "set-cookie" not in answer.headers
    assert {path: path.read_bytes() for path in bench.folder.parent.rglob("*") if path.is_file()} == everything


def test_a_link_within_the_folder_is_followed_and_one_that_leads_out_is_not(tmp_path: Path):
    folder = copy_of_the_studio(tmp_path)
    (tmp_path / "outside.txt").write_text("Secret   cone 6\nwhiting 100\n")
    (folder / "kept").mkdir()
    (folder / "kept" / "inside.txt").write_text("Linked   cone 6\nwhiting 50\nsilica 50\n")
    (folder / "recipes" / "inside.txt").symlink_to(folder / "kept" / "inside.txt")
    (folder / "recipes" / "outside.txt").symlink_to(tmp_path / "outside.txt")
    (folder / "recipes" / "loop.txt").symlink_to(folder / "recipes" / "loop.txt")
    (folder / "materials" / "outside.yaml").symlink_to(tmp_path / "outside.txt")
    bench = opened(folder)
    page = shown(bench.get("/").text)
    assert "Linked" in page
    assert "Secret" not in page
    assert page.count("leads out of the studio's folder") == 2
    answer = bench.get("/glaze/outside.txt")
    assert "leads out of the studio's folder" in shown(answer.text)
    assert "Secret" not in answer.text
    answer = bench.post("/glaze/outside.txt", text="x 1", do="save", seen="none")
    assert answer.status == 409
    assert (tmp_path / "outside.txt").read_text().startswith("Secret")


def test_a_folder_of_cards_that_is_a_link_outwards_is_left_alone(tmp_path: Path):
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "secret.txt").write_text("Secret   cone 6\nwhiting 100\n")
    folder = copy_of_the_studio(tmp_path)
    os.rename(folder / "recipes", folder / "old")
    (folder / "recipes").symlink_to(tmp_path / "elsewhere")
    bench = opened(folder)
    page = shown(bench.get("/").text)
    assert "Secret" not in page
    assert "'recipes' leads out of the studio's folder" in page
    answer = bench.post("/new", text="whiting 1", do="save", **{"as": "mine"})
    assert answer.status == 409
    assert list((tmp_path / "elsewhere").iterdir()) == [tmp_path / "elsewhere" / "secret.txt"]


def test_a_folder_of_nothing_but_cards_is_that_of_the_cards(tmp_path: Path):
    (tmp_path / "one.txt").write_text("One   cone 6\nwhiting 50\nsilica 50\n")
    (tmp_path / "body-x.yaml").write_text("name: X\n")
    (tmp_path / "prices.csv").write_text("material\n")
    assert [file.name for file in Studio.at(tmp_path).cards()] == ["one.txt"]
    bench = opened(tmp_path)
    assert bench.post("/new", text="whiting 1\nsilica 1\n", do="save", **{"as": "two"}).status == 303
    assert (tmp_path / "two.txt").read_text() == "whiting 1\nsilica 1\n"


def test_no_folder_is_an_error(tmp_path: Path):
    (tmp_path / "file").write_text("")
    for place in (tmp_path / "none", tmp_path / "file", "a\0b", "x" * 5000):
        with pytest.raises(FileFaultsError):
            Studio.at(place)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "  ",
        ".",
        "..",
        ".hidden",
        "a/b",
        "a\\b",
        "c:x",
        "a\0b",
        "con",
        "NUL.txt",
        "com1.csv",
        "x" * 90,
        "é" * 79 + "☃" * 30,
        "a\u202eb",
        "what?",
        "*",
        "card.pdf",
        "card.exe",
        "HARBOUR-black.TXT",
    ],
)
def test_a_name_that_some_system_would_not_take_is_refused(typed: str, studio: Path):
    with pytest.raises(FileFaultsError):
        new_name(typed, Studio.at(studio).cards())


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("harbour black 2", "harbour black 2.txt"),
        (" Blue  No. 5 ", "Blue No. 5.txt"),
        ("blå.txt", "blå.txt"),
        ("satin.yaml", "satin.yaml"),
        ("v1.2", "v1.2.txt"),
        ("🐟", "🐟.txt"),
    ],
)
def test_a_new_name_gets_an_ending(typed: str, name: str):
    assert new_name(typed, ()) == name


def test_an_empty_folder_is_offered_a_start(tmp_path: Path):
    bench = opened(tmp_path)
    assert bench.get("/").headers["location"] == "/start"
    assert "invented studio" in bench.get("/start").text
    assert bench.post("/start", **{"with": "studio"}).headers["location"] == "/"
    page = bench.get("/").text
    assert "Harbour Black" in page
    assert "Not read" not in page
    made = {str(path.relative_to(tmp_path)): path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    from tests.workbench.bench import STUDIO

    assert made == {str(path.relative_to(STUDIO)): path.read_bytes() for path in STUDIO.rglob("*") if path.is_file()}


def test_a_blank_start_is_one_card(tmp_path: Path):
    bench = opened(tmp_path)
    bench.post("/start", **{"with": "blank"})
    assert [path.name for path in tmp_path.rglob("*.*")] == ["first-glaze.txt"]
    assert "First glaze" in bench.get("/").text
    assert bench.post("/start", **{"with": "studio"}).headers["location"] == "/"  # no longer empty: nothing is put in
    assert [path.name for path in tmp_path.rglob("*.*")] == ["first-glaze.txt"]


def test_a_version_that_is_a_link_outwards_is_neither_shown_nor_put_back_nor_written(tmp_path: Path):
    folder = copy_of_the_studio(tmp_path)
    (tmp_path / "outside.txt").write_text("Secret   cone 6\nwhiting 100\n")
    kept = folder / "recipes" / ".glaze-history" / "harbour-black.txt"
    kept.mkdir(parents=True)
    (kept / "0001 2026-01-01 00.00.00.txt").symlink_to(tmp_path / "outside.txt")
    (kept / "now.txt").symlink_to(tmp_path / "note.txt")
    bench = opened(folder)
    place = "/glaze/harbour-black.txt"
    before = bench.card("harbour-black.txt").read_bytes()
    answer = bench.get(f"{place}/earlier/1")
    assert "leads out" in shown(answer.text)
    assert "Secret" not in answer.text
    for do in ("put-back", "undo", "redo"):
        answer = bench.post(place, do=do, number="1", seen=bench.seen(place))
        assert "Secret" not in answer.text
        assert bench.card("harbour-black.txt").read_bytes() == before
    assert bench.post(place, do="save", text="New\nwhiting 1\nsilica 1", seen=bench.seen(place)).status == 303
    assert bench.post(place, do="undo", seen=bench.seen(place)).status == 303
    assert bench.card("harbour-black.txt").read_bytes() == before
    assert not (tmp_path / "note.txt").exists()
    assert (tmp_path / "outside.txt").read_text().startswith("Secret")


@pytest.mark.parametrize("what", ["recipes/harbour-black.txt", "materials/sturt_boro_frit.yaml", "body-slate.yaml"])
def test_a_file_that_becomes_a_link_after_it_was_judged_is_not_read(tmp_path: Path, monkeypatch, what: str):
    folder = copy_of_the_studio(tmp_path)
    (tmp_path / "outside.txt").write_text("Secret   cone 6\nwhiting 100\n")
    file = folder / what
    file.unlink(missing_ok=True)
    file.symlink_to(tmp_path / "outside.txt")
    bench = opened(folder)
    monkeypatch.setattr(Studio, "inside", lambda _studio, _path: True)  # as if it had been a plain file a moment before
    for path in ("/", "/glaze/harbour-black.txt", "/materials", "/glaze/harbour-black.txt/do/check?asked=1&body=body-slate.yaml"):  # fmt: skip
        answer = bench.get(path)
        assert answer.status == 200
        assert "Secret" not in answer.text
    assert "leads out of the folder" in shown(bench.get("/").text)
    form = {"do": "save", "text": "whiting 1\nsilica 1", "seen": "none"}
    assert bench.post("/glaze/harbour-black.txt", **form).status == 409
    assert (tmp_path / "outside.txt").read_text().startswith("Secret")


def test_a_folder_that_is_gone_is_not_made_again(tmp_path: Path):
    folder = copy_of_the_studio(tmp_path)
    bench = opened(folder)
    folder.rename(tmp_path / "elsewhere")
    for path, form in (("/new", {"do": "save-as", "as": "x", "text": "whiting 1\nsilica 1"}), ("/start", {"with": "blank"})):  # fmt: skip
        answer = bench.post(path, **form)
        assert answer.status == 409
        assert "folder" in shown(answer.text)
        assert not folder.exists()
