"""How long a substitution takes: ``python tests/benchmarks/reformulate.py``. Nothing here is asserted.

80 materials, at most 6 in the answer, five ranked answers; several questions, each timed in a fresh state of the machine.
"""

from __future__ import annotations

import time

import glazecalc as gc
from glazecalc.reformulate.at_hand import general_use

QUESTIONS = {
    "potash spar gone": (
        {"potash_feldspar": 38, "whiting": 14.5, "kaolin": 12, "silica": 28, "wollastonite": 7.5},
        "potash_feldspar",
    ),
    "frit gone": (
        {"potash_feldspar": 30, "unity_frit_lime_soda_boron": 24, "whiting": 8, "kaolin": 14, "silica": 22, "talc": 5},
        "unity_frit_lime_soda_boron",
    ),
    "talc gone": ({"potash_feldspar": 40, "whiting": 10, "talc": 10, "kaolin": 10, "silica": 30}, "talc"),
    "borate gone": (
        {"soda_feldspar": 35, "whiting": 8, "colemanite": 14, "kaolin": 12, "silica": 28, "zinc_oxide": 3},
        "colemanite",
    ),
    "lithium gone": (
        {"potash_feldspar": 40, "whiting": 15, "lithium_carbonate": 3, "kaolin": 12, "silica": 30},
        "lithium_carbonate",
    ),
}


def main() -> None:
    """Print the figures."""
    library = gc.load_materials()
    for name, (recipe, gone) in QUESTIONS.items():
        taken, _ = general_use(library, {"P2O5", "TiO2", "ZrO2", "SnO2", "Fe2O3", "MnO", "CoO", "CuO", "Cr2O3", "NiO"})
        stock = list(dict.fromkeys([*recipe, *(m.id for m in taken)]))[:81]
        start = time.perf_counter()
        outcome = gc.substitute(recipe, library, without=[gone], stock=stock, max_materials=6, answers=5)
        took = time.perf_counter() - start
        scores = ", ".join(f"{a.score:.2f} (gap {a.gap:.2f})" for a in outcome.answers)
        print(
            f"{name:18s} {len(stock) - 1} materials, {len(outcome.answers)} answers, {took:.2f} s; deviations [tolerances] {scores}"
        )


if __name__ == "__main__":
    main()
