"""Whatever is done in whatever order: a text that the workbench has written or seen is in the card or among its versions."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.workbench.bench import HOME, Workbench, opened  # skips this file where starlette is missing

from glazecalc.workbench import saving  # isort: skip
from glazecalc.workbench.folder import Studio  # isort: skip
from glazecalc.workbench.saving import Card, ChangedMeanwhileError, digest_of  # isort: skip


@contextmanager
def open_folder(folder: Path) -> Iterator[int]:
    handle = os.open(folder, os.O_RDONLY)
    try:
        yield handle
    finally:
        os.close(handle)


TEXTS = st.sampled_from(["a 1\n", "b 1\nc 2\n", "a 1\r\nb 2\r\n", "", "c", "d 4\n\n"])
DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["save", "save", "undo", "redo", "stale", "typed and undo", "by another", "delete"]), TEXTS
    ),
    max_size=12,
)


@settings(max_examples=40)
@given(DEEDS)
def test_no_text_is_ever_lost(deeds: list[tuple[str, str]]):
    root = Path(tempfile.mkdtemp())
    try:
        (root / "recipes").mkdir()
        card = Card(Studio.at(root), root / "recipes" / "x.txt")
        card.path.write_bytes(b"first\n")
        seen_texts = {"first\n"}
        for deed, text in deeds:
            before = card.text()
            seen = digest_of(before)
            if deed == "save":
                card.save(text, seen)
            elif deed == "undo":
                card.back(before or "", seen)
            elif deed == "typed and undo":
                card.back(text, seen)
            elif deed == "redo":
                card.forth(seen)
            elif deed == "stale":
                with pytest.raises(ChangedMeanwhileError) as caught:
                    card.save(text, digest_of("what nobody saw"))
                assert caught.value.on_disk == before
                assert card.text() == before
            elif deed == "by another":
                if before is not None:
                    seen_texts.discard(before) if before not in {v.text() for v in card.history.versions()} else None
                card.path.write_bytes(text.encode())
            elif deed == "delete" and before is not None:
                seen_texts.discard(before) if before not in {v.text() for v in card.history.versions()} else None
                card.path.unlink()
            now = card.text()
            if now is not None:
                seen_texts.add(now)
            kept = {version.text() for version in card.history.versions()} | {now}
            assert seen_texts <= kept
            numbers = [version.number for version in card.history.versions()]
            assert numbers == sorted(set(numbers))
    finally:
        shutil.rmtree(root)


def test_many_windows_at_once_one_is_first_and_the_others_are_asked(bench: Workbench):
    windows = [bench, opened(bench.folder)]
    seen, first = bench.seen("/glaze/rill-clear.txt"), bench.card("rill-clear.txt").read_text()

    def send(number: int) -> int:
        form = {"text": f"Window {number}   cone 6\r\nwhiting 1\r\nsilica 1\r\n", "do": "save", "seen": seen}
        return (
            windows[number % 2].client.send("POST", "/glaze/rill-clear.txt", form=form, headers={"origin": HOME}).status
        )

    with ThreadPoolExecutor(6) as threads:
        answers = sorted(threads.map(send, range(6)))
    assert answers == [303] + [409] * 5
    assert bench.card("rill-clear.txt").read_text().startswith("Window ")
    kept = [
        path.read_text() for path in (bench.folder / "recipes" / ".glaze-history" / "rill-clear.txt").glob("0*.txt")
    ]
    assert kept == [first]


def test_another_program_that_saves_in_the_folder_is_waited_for(bench: Workbench, monkeypatch: pytest.MonkeyPatch):
    fcntl = pytest.importorskip("fcntl", reason="the lock is that of a POSIX system")
    monkeypatch.setattr(saving, "_LONGEST_WAIT_S", 0.05)
    form = {"do": "save", "text": "Mine   cone 6\nwhiting 1\nsilica 1", "seen": bench.seen("/glaze/rill-clear.txt")}
    with open_folder(bench.folder / "recipes") as other:  # before the first version is kept, too
        fcntl.flock(other, fcntl.LOCK_EX)
        answer = bench.post("/glaze/rill-clear.txt", **form)
        assert answer.status == 409
        assert "workbench is saving in this folder" in answer.text
    assert bench.post("/glaze/rill-clear.txt", **form).status == 303


def test_a_note_that_cannot_be_made_leaves_a_saved_card_saved(bench: Workbench):
    place = "/glaze/rill-clear.txt"
    for text in ("One   cone 6\nwhiting 1\nsilica 1\n", "Two   cone 6\nwhiting 1\nsilica 1\n"):
        assert bench.post(place, do="save", text=text, seen=bench.seen(place)).status == 303
    (bench.folder / "recipes" / ".glaze-history" / "rill-clear.txt" / "now.txt").mkdir()
    assert bench.post(place, do="undo", seen=bench.seen(place)).status == 303
    assert bench.card("rill-clear.txt").read_text().startswith("One ")
