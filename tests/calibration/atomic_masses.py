"""Write the atomic masses anew: ``python -m tests.calibration.atomic_masses``.

They are those of `periodictable` (public domain), which carries the values of the IUPAC commission on isotopic abundances and atomic
weights. They stand in a file of their own, so that a call need not read the whole of that library, nor a new version of it move a number unseen.
"""

from __future__ import annotations

from pathlib import Path

import periodictable

FILE = Path(__file__).parents[2] / "glazecalc/data/atomic_masses.csv"


def masses() -> dict[str, float]:
    """Return the standard atomic mass [g/mol] of each element, as the library has it."""
    return {element.symbol: float(element.mass) for element in periodictable.elements if element.number > 0}


def main() -> None:
    """Write the file."""
    head = (
        f"# Standard atomic masses [g/mol]: periodictable {periodictable.__version__} (P. A. Kienzle, public domain), which carries the values of the",
        "# IUPAC Commission on Isotopic Abundances and Atomic Weights. Written by tests/calibration/atomic_masses.py.",
        "symbol,mass",
    )
    rows = (f"{symbol},{mass!r}" for symbol, mass in masses().items())
    FILE.write_text("\n".join((*head, *rows)) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
