"""The gallery of `gc.plot`: each picture with the line that draws it, written by ``python -m tests.notebooks.gallery``."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

from tests.notebooks.outputs import NOTEBOOKS

FOLDER = NOTEBOOKS / "gallery"
README = NOTEBOOKS / "README.md"
DPI = 110
COLOURS = 255  # of a small file

SET_UP = """\
import glazecalc as gc

materials = gc.load_materials("studio/materials")
cards = [gc.read_recipe(f"studio/recipes/{name}.txt") for name in ("harbour-black", "rill-clear", "chalk-satin")]
black, clear, satin = (gc.check(card, materials) for card in cards)
firings, _ = gc.read_firings("studio/firings.csv")
fit = gc.calibrate(firings, materials, path="studio/firings.csv", body_name="Osier Fold stoneware")
results, _ = gc.read_release_results("studio/lab/banded-bowls.csv")
bowl = gc.Ware(kind="bowl", depth_mm=45, volume_l=0.9)
"""


class Shown(NamedTuple):
    """One picture: what it is for, what it shows to one who cannot see it, and the line that draws it."""

    use: str
    alt: str
    line: str


GALLERY = {
    "oxides": Shown(
        "What is in it, beside another",
        "Paired bars of the unity formula of Harbour Black and Rill Clear, grouped by the role of the oxides.",
        "gc.plot.oxides([black, clear])",
    ),
    "contributions": Shown(
        "Which bag brings which oxide",
        "A grid of squares: bags of Harbour Black down, oxides across; each square is a bag's share of that oxide.",
        "gc.plot.contributions(black)",
    ),
    "silica_alumina": Shown(
        "Where it stands among glazes that were fired",
        "Alumina across, silica up: three glazes with the ellipses of their bags among small marks for published glazes by their surface.",
        "gc.plot.silica_alumina([black, clear, satin])",
    ),
    "expansion": Shown(
        "Will it fit, beside your own firings",
        "Calculated expansion of three glazes with their intervals over the shaded range of what came out sound on the studio's clay.",
        "gc.plot.expansion([black, clear, satin], firings=fit)",
    ),
    "viscosity": Shown(
        "Will it melt at your cone",
        "Curves of the melt's viscosity against temperature for two glazes, with bands of error and the cones named along the top.",
        "gc.plot.viscosity([black, clear])",
    ),
    "sensitivity": Shown(
        "What one part more of each bag does",
        "Bars to both sides of nought: the change of expansion by one part more of each material of Harbour Black.",
        'gc.plot.sensitivity(gc.sensitivity(cards[0], materials), of="expansion")',
    ),
    "spread": Shown(
        "How far the bags leave it open",
        "A bar from low to high for each oxide of Harbour Black as per cent of its middle, the ends written beside it.",
        "gc.plot.spread(gc.spread(cards[0], materials))",
    ),
    "line_blend": Shown(
        "A number along a line of tiles",
        "Five tiles from Rill Clear to Chalk Satin across, their calculated expansion with its error up.",
        'gc.plot.line_blend(gc.blend(cards[1:], materials), of="expansion, fitted")',
    ),
    "triaxial": Shown(
        "A number over a triangle of tiles",
        "A triangle of fifteen numbered tiles between three glazes, shaded by the ratio of silica to alumina.",
        "gc.plot.triaxial(gc.blend(cards, materials))",
    ),
    "release": Shown(
        "Laboratory results beside the limits",
        "Release of lead and cadmium from four bowls as times the limit of each text: over the limit to the right, under it to the left.",
        'gc.plot.release(gc.lab_report(results, bowl, where=("eu", "us", "canada")))',
    ),
}


def drawn() -> dict[str, bytes]:
    """Return the files of the pictures, each drawn by its own line."""
    import matplotlib as mpl

    mpl.use("Agg")
    import matplotlib.pyplot as plt
    from PIL import Image

    before = Path.cwd()
    os.chdir(NOTEBOOKS)
    try:
        names: dict[str, Any] = {}
        exec(SET_UP, names)
        files = {}
        for name, shown in GALLERY.items():
            raw, small = BytesIO(), BytesIO()
            figure = eval(shown.line, names).get_figure()
            figure.savefig(raw, format="png", dpi=DPI, bbox_inches="tight", pad_inches=0.12)
            plt.close(figure)
            Image.open(raw).convert("RGB").quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE).save(small, format="png", optimize=True)
            files[name] = small.getvalue()
        return files
    finally:
        os.chdir(before)


def section() -> str:
    """Return the gallery's part of the README."""
    lines = ["```python", SET_UP.rstrip("\n"), "```"]
    for name, shown in GALLERY.items():
        lines += ["", f"### {shown.use}", "", f"![{shown.alt}](gallery/{name}.png)", "", f"    {shown.line}"]
    return "\n".join(lines) + "\n"


def with_section(text: str) -> str:
    """Return the README with the gallery in its place: all that stands below the line ``## Every picture``."""
    head, found, _ = text.partition("## Every picture\n")
    assert found, "the README has no '## Every picture'"
    told = "\nEach takes `title=` and `ax=` and returns its axes. The pictures of this page come from these lines, run in this folder:\n"
    return f"{head}{found}{told}\n{section()}"


def main() -> None:
    """Write the pictures and the part of the README that shows them."""
    FOLDER.mkdir(exist_ok=True)
    for name, data in drawn().items():
        (FOLDER / f"{name}.png").write_bytes(data)
        print(f"{name}.png {len(data) / 1000:.0f} kB")
    README.write_text(with_section(README.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
