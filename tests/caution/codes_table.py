"""The table of all caution codes as Markdown; ``python -m tests.caution.codes_table`` writes it anew."""

from pathlib import Path

from glazecalc.caution.caution import ABOUT, Severity
from glazecalc.caution.codes import codes
from glazecalc.caution.crawling import high_tension, raw_causes
from glazecalc.caution.emissions import fumes, gases
from glazecalc.caution.metals import metals
from glazecalc.caution.thresholds import thresholds, thresholds_by_cone

PATH = Path(__file__).parent / "caution_codes.md"


def numbers() -> dict[str, list[str]]:
    """Code -> the numbers that raise it, each with its unit."""
    found: dict[str, list[str]] = {}
    loads = [metal.load for metal in metals().values() if metal.load]
    for load in loads:
        found[load.code] = [f"{step} {limit.value:g} {limit.unit}" for step, limit in load.steps.items()]
        found[load.code] += [f"{step} {limit.value:g} in a weak glass" for step, limit in load.weak_steps.items()]
    for limit in thresholds().values():
        for code in limit.raises:
            found.setdefault(code, []).append(f"{limit.value:g} {limit.unit}")
    for moving in thresholds_by_cone().values():
        values = ", ".join(f"{value:g} at cone {cone}" for cone, value in moving.values.items())
        for code in moving.raises:
            found.setdefault(code, []).append(f"{values} ({moving.unit})")
    raw = ", ".join(f"{cause.wt_percent:g} wt % {cause.key.replace('_', ' ')}" for cause in raw_causes())
    found["crawling-raw-cause"] = [raw]
    found["crawling-likely"] = [f"{raw}, with {high_tension().value:g} mN/m ({high_tension().model})"]
    for emission in (*gases().values(), *fumes().values()):
        text = f"{emission.threshold.value:g} {emission.threshold.unit}"
        if text not in found.setdefault(emission.code, []):
            found[emission.code].append(text)
    return found


def codes_table() -> str:
    raising = numbers()
    lines = ["# Caution codes", "", "Steps of severity:", ""]
    lines += [f"- **{step}**: {step.meaning}." for step in Severity]
    lines += [
        "",
        "Where a code can take two steps, the graver one stands first. A dash: not raised on ware that is not for food.",
        "",
    ]
    lines += ["| about | code | title | on food ware | not for food | thresholds |", "|---|---|---|---|---|---|"]
    for code in sorted(codes().values(), key=lambda code: ABOUT.index(code.about)):
        on_food, otherwise = ", ".join(code.on_food), ", ".join(code.otherwise) or "-"
        limits = "; ".join(raising.get(code.key, [])) or "-"
        lines.append(f"| {code.about} | `{code.key}` | {code.title} | {on_food} | {otherwise} | {limits} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PATH.write_text(codes_table(), encoding="utf-8")
