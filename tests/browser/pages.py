"""The addresses of the workbench's pages: those that its application knows, each at least once."""

from __future__ import annotations

from pathlib import Path

__all__ = ("LEAD_CARD", "PAGES", "with_odd_files")

LEAD_CARD = "Old Lead   cone 04 ox\nlead bisilicate frit 80\nkaolin 20\n+ copper carbonate 3\n"
PAGES = {
    "shelf": "/",
    "found": "/?q=cobalt",
    "found nothing": "/?q=nothing+at+all",
    "a glaze": "/glaze/harbour-black.txt",
    "on a clay body": "/glaze/rill-clear.txt?body=body-slate.yaml",
    "lead": "/glaze/lead.txt",
    "a wrong card": "/glaze/wrong.txt",
    "not read": "/glaze/not-text.txt",
    "a new glaze": "/new",
    "no such page": "/nowhere",
}
"""Of a folder that `with_odd_files` has been at."""


def with_odd_files(folder: Path) -> Path:
    """Put cards into a studio's folder that are dangerous, wrong, or no text at all, and one with long names."""
    recipes = folder / "recipes"
    (recipes / "lead.txt").write_text(LEAD_CARD)
    (recipes / "wrong.txt").write_text("Which   cone 6\nspar 30\nsilica\nkaolin 10 20\n")
    (recipes / "not-text.txt").write_bytes(b"\x00\x01\xff")
    (recipes / f"{'long-' * 20}name.txt").write_text(
        f"{'Long words ' * 12}{'unbroken' * 12}   cone 6\nwhiting 50\nsilica 50\n"
    )
    return folder
