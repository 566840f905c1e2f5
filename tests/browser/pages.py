"""The addresses of the workbench's pages: those that its application knows, each at least once."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

__all__ = ("LEAD_CARD", "PAGES", "with_odd_files")

LEAD_CARD = "Old Lead   cone 04 ox\nlead bisilicate frit 80\nkaolin 20\n+ copper carbonate 3\n"
_BLACK = "/glaze/harbour-black.txt"
_WITH = {
    "scale": {"fill": "10l", "sg": "1.45", "step": "0.1g"},
    "slurry": {"sample": "1l 1440g", "volume": "6l", "to": "10l", "sg": "1.45"},
    "mend": {"all-in": "2kg", "weighed-0": "680", "weighed-1": "420", "weighed-5": "900"},
    "label": {"all-in": "5kg", "date": "12 May", "batch-no": "7"},
    "substitute": {"without": "Potash feldspar", "also": "soda feldspar"},
    "nudge": {"wishes": "less crazing\nratio kept"},
    "match": {"only": "potash feldspar\nwhiting\ntalc\nkaolin\nsilica\nstudio calcium borate frit"},
    "blend": {"others": "rill-clear.txt"},
    "check": {"full": "1", "body": "body-slate.yaml", "use": "plate"},
    "compare": {"second": "rill-clear.txt"},
    "calibrate": {"firings": "firings.csv", "body-name": "Osier Fold stoneware"},
    "cost": {"all-in": "10kg", "prices": "prices.csv", "stock": "shelf.csv"},
}
_WITHOUT = {
    "cone": {"what": "6"},
    "size": {"wet": "100", "dry": "93.5", "fired": "87.6", "want": "9in"},
    "lab": {"typed": "element,value,unit\nPb,0.03,mg/dm2\nCo,0.4,mg/dm2\n", "ware": "plate"},
}
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
    "what to do with it": f"{_BLACK}/do",
    "what to do without": "/do",
    **{f"{job}, form": f"{_BLACK}/do/{job}" for job in _WITH},
    **{f"{job}, answer": f"{_BLACK}/do/{job}?asked=1&{urlencode(asked)}" for job, asked in _WITH.items()},
    **{f"{job}, form": f"/do/{job}" for job in _WITHOUT},
    **{f"{job}, answer": f"/do/{job}?asked=1&{urlencode(asked)}" for job, asked in _WITHOUT.items()},
    "refused": f"{_BLACK}/do/scale?asked=1&all-in=lots&base=5",
    "not to be done": "/glaze/wrong.txt/do/scale",
    "materials": "/materials",
    "a material": "/material/lead_bisilicate_frit",
    "a material of one's own": "/material/studio_frit_calcium_borate",
    "a new bag": "/materials/new",
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
