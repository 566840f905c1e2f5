"""Every caution code there is: what it is about, how grave it can be, and the thresholds that raise it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazecalc.caution.caution import ABOUT, Caution, Severity
from glazecalc.caution.thresholds import by_cone, threshold
from glazecalc.files.shipped import load_data

__all__ = ("CODES", "Code", "codes_table", "raised")


@dataclass(frozen=True, slots=True)
class Code:
    """A stable caution code.

    Attributes
    ----------
    about : str
        One of `ABOUT`.
    on_food : tuple of str
        The steps of severity it can take on food ware, gravest first.
    otherwise : tuple of str
        The steps on ware that is not for food; empty where it is not raised there.
    title : str
        What it is about in a few words, without figures.
    never_folded : bool
        True for lead and cadmium: such a caution is printed whole on every page, with its severity.
    """

    about: str
    on_food: tuple[str, ...]
    otherwise: tuple[str, ...]
    title: str
    never_folded: bool = False


_K, _L, _S = ("know",), ("look",), ("stop",)
CODES: dict[str, Code] = {
    "lead-present": Code("food", ("stop", "look"), _L, "Lead in the fired glaze", never_folded=True),
    "cadmium-present": Code("food", ("stop", "look"), _L, "Cadmium in the fired glaze", never_folded=True),
    "lead-below-detection": Code("food", _K, _K, "Lead below detection in a material", never_folded=True),
    "cadmium-below-detection": Code("food", _K, _K, "Cadmium below detection in a material", never_folded=True),
    "copper-with-lead": Code("food", _S, _L, "Copper and lead together", never_folded=True),
    "copper-with-metals": Code("food", ("stop", "look"), _K, "Copper with cobalt, manganese or barium"),
    "copper-load": Code("food", ("stop", "look"), _K, "Much copper"),
    "barium-on-food": Code("food", ("stop", "look"), _K, "Barium in the flux"),
    "cobalt-load": Code("food", _L, _K, "Much cobalt"),
    "manganese-load": Code("food", _L, _K, "Much manganese"),
    "chromium-load": Code("food", _L, _K, "Much chromium"),
    "chromate-in-oxidation": Code("food", _L, _K, "Chromium that may become chromate"),
    "nickel-present": Code("food", _L, _K, "Nickel in the glaze"),
    "vanadium-present": Code("food", _L, _K, "Vanadium in the glaze"),
    "antimony-present": Code("food", _L, _K, "Antimony in the glaze"),
    "selenium-present": Code("food", _L, _K, "Selenium in the glaze"),
    "uranium-present": Code("food", _S, _K, "Uranium in the glaze"),
    "lithium-load": Code("food", _L, _K, "Much lithium"),
    "zinc-load": Code("food", _L, _K, "Much zinc"),
    "release-not-known": Code("food", _K, (), "Release is not known"),
    "saturated-colour": Code("surface", _L, _K, "More colour than may dissolve"),
    "silica-low": Code("surface", _L, _K, "Silica low for the cone"),
    "alumina-low": Code("surface", _L, _K, "Alumina low for the cone"),
    "alkali-high": Code("surface", ("look", "know"), _K, "Alkali high"),
    "boron-high": Code("surface", ("look", "know"), _K, "Boron high for the cone"),
    "matt-surface": Code("surface", _L, _K, "Matt by silica to alumina"),
    "lime-matt": Code("surface", _L, _K, "Lime matt"),
    "crawling-likely": Code("surface", _L, _L, "Likely to crawl"),
    "crawling-raw-cause": Code("surface", _K, _K, "A raw cause of crawling"),
    "body-absorbs": Code("surface", _L, (), "Body that takes up water"),
    "crawled-on-food": Code("surface", ("stop", "look"), _K, "Crawled surface where food lies"),
    "crazed-on-food": Code("surface", ("stop", "look"), _K, "Crazed surface where food lies"),
    "pinholed-on-food": Code("surface", ("stop", "look"), _K, "Pits where food lies"),
    "rough-on-food": Code("surface", ("stop", "look"), _K, "Rough surface where food lies"),
    "metallic-on-food": Code("surface", ("stop", "look"), _K, "Metallic skin where food lies"),
    "crystalline-on-food": Code("surface", ("stop", "look"), _K, "Crystals where food lies"),
    "textured-on-food": Code("surface", ("stop", "look"), _K, "Texture where food lies"),
    "silica-high": Code("melt", _L, _L, "Silica high for the cone"),
    "boron-low": Code("melt", _K, _K, "Boron low for the cone"),
    "outside-published-range": Code("melt", _K, _K, "Outside a published range"),
    "lead-raw-material": Code("bench", _S, _S, "Lead material in the batch", never_folded=True),
    "stop-raw-material": Code("bench", _S, _S, "Material not for a studio"),
    "cmr-raw-material": Code("bench", _L, _L, "Cancer or fertility hazard"),
    "cmr-suspected-raw-material": Code("bench", _L, _L, "Suspected cancer or fertility hazard"),
    "toxic-raw-material": Code("bench", _L, _L, "Poisonous material"),
    "own-hazard-words": Code("bench", _L, _L, "Hazard words of your own files"),
    "silica-dust": Code("bench", _K, _K, "Silica dust"),
    "silicate-dust": Code("bench", _K, _K, "Silicate dust"),
    "irritant-raw-material": Code("bench", _K, _K, "Irritant, or harmful to water life"),
    "caustic-raw-material": Code("bench", _K, _K, "Caustic material"),
    "kiln-lead": Code("kiln", _S, _S, "Lead vapour in the kiln", never_folded=True),
    "kiln-cadmium": Code("kiln", _L, _L, "Cadmium vapour in the kiln", never_folded=True),
    "kiln-manganese": Code("kiln", _L, _L, "Manganese fume in the kiln"),
    "kiln-fluorine": Code("kiln", _L, _L, "Fluorine gases from the kiln"),
    "kiln-sulphur": Code("kiln", _L, _L, "Sulphur oxides from the kiln"),
    "kiln-chlorine": Code("kiln", _L, _L, "Hydrogen chloride from the kiln"),
    "kiln-nitrogen": Code("kiln", _L, _L, "Nitrogen oxides from the kiln"),
    "kiln-carbon-dioxide": Code("kiln", _K, _K, "Carbon dioxide from the kiln"),
    "kiln-smoke": Code("kiln", _K, _K, "Smoke from the kiln"),
    "kiln-zinc": Code("kiln", _K, _K, "Zinc fume in the kiln"),
    "kiln-copper": Code("kiln", _K, _K, "Copper fume in the kiln"),
    "kiln-chromium": Code("kiln", _K, _K, "Chromium vapour in the kiln"),
    "soluble-in-bucket": Code("bucket", ("look", "know"), ("look", "know"), "Dissolves in the bucket"),
    "raw-clay-high": Code("bucket", _L, _L, "Raw clay high"),
    "settles-hard": Code("bucket", _K, _K, "Raw clay low"),
}


def raised(
    code: str, *, severity: Severity, message: str, do: str, evidence: Mapping[str, Any], source: str
) -> Caution:
    """Return a caution by its code; what it is about and its title are those of the table."""
    row = CODES[code]
    return Caution(
        code=code,
        title=row.title,
        about=row.about,
        severity=severity,
        message=message,
        do=do,
        evidence=evidence,
        source=source,
        never_folded=row.never_folded,
    )


def codes_table() -> str:
    """Return the table of all caution codes in Markdown, with the thresholds that raise each."""
    data = load_data("caution_thresholds.yaml")
    numbers: dict[str, list[str]] = {}
    for key in data["thresholds"]:
        plain = threshold(key)
        for code in plain.raises:
            numbers.setdefault(code, []).append(f"{plain.value:g} {plain.unit}")
    for key in data["by_cone"]:
        moving = by_cone(key)
        for code in moving.raises:
            values = ", ".join(f"{value:g} at cone {cone}" for cone, value in moving.values.items())
            numbers.setdefault(code, []).append(f"{values} ({moving.unit})")
    crawling = load_data("crawling.yaml")
    raw = ", ".join(
        f"{cause['wt_percent']:g} wt % {cause['key'].replace('_', ' ')}" for cause in crawling["raw_causes"]
    )
    rank = crawling["surface_tension_rank_mn_m"]
    numbers["crawling-raw-cause"] = [raw]
    numbers["crawling-likely"] = [f"{raw}, with {rank['value']:g} mN/m ({rank['model']})"]
    for entry in load_data("kiln_emissions.yaml")["metals"].values():
        limit = threshold(entry["threshold"])
        text = f"{limit.value:g} {limit.unit}"
        if text not in numbers.setdefault(entry["code"], []):
            numbers[entry["code"]].append(text)
    lines = ["# Caution codes", "", "Steps of severity:", ""]
    lines += [f"- **{step}**: {step.meaning}." for step in Severity]
    lines += [
        "",
        "Where a code can take two steps, the graver one stands first. A dash: not raised on ware that is not for food.",
        "",
    ]
    lines += ["| about | code | title | on food ware | not for food | thresholds |", "|---|---|---|---|---|---|"]
    for about in ABOUT:
        for name, row in CODES.items():
            if row.about == about:
                steps, other = ", ".join(row.on_food), ", ".join(row.otherwise) or "-"
                lines.append(
                    f"| {about} | `{name}` | {row.title} | {steps} | {other} | {'; '.join(numbers.get(name, [])) or '-'} |"
                )
    return "\n".join(lines) + "\n"
