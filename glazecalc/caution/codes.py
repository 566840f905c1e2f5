"""Every caution code there is: what it is about, how grave it can be, and the thresholds that raise it."""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.caution.caution import ABOUT, Severity
from glazecalc.caution.thresholds import by_cone, threshold
from glazecalc.files.shipped import load_data

__all__ = ("CODES", "Code", "codes_table")


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
    what : str
        What it is, in a few words.
    """

    about: str
    on_food: tuple[str, ...]
    otherwise: tuple[str, ...]
    what: str


_K, _L, _S = ("know",), ("look",), ("stop",)
CODES: dict[str, Code] = {
    "lead-present": Code("food", ("stop", "look"), _L, "lead in the fired glaze"),
    "cadmium-present": Code("food", ("stop", "look"), _L, "cadmium in the fired glaze"),
    "lead-below-detection": Code("food", _K, _K, "a material reports lead below detection"),
    "cadmium-below-detection": Code("food", _K, _K, "a material reports cadmium below detection"),
    "copper-with-lead": Code("food", _S, _L, "copper and lead in one glaze"),
    "copper-with-metals": Code("food", ("stop", "look"), _K, "copper together with cobalt, manganese or barium"),
    "copper-load": Code("food", ("stop", "look"), _K, "much copper"),
    "barium-on-food": Code("food", ("stop", "look"), _K, "barium in the flux"),
    "cobalt-load": Code("food", _L, _K, "much cobalt"),
    "manganese-load": Code("food", _L, _K, "much manganese"),
    "chromium-load": Code("food", _L, _K, "much chromium"),
    "chromate-in-oxidation": Code("food", _L, _K, "chromium with lime, baryta or alkali, fired in oxidation"),
    "nickel-present": Code("food", _L, _K, "nickel"),
    "vanadium-present": Code("food", _L, _K, "vanadium"),
    "antimony-present": Code("food", _L, _K, "antimony"),
    "selenium-present": Code("food", _L, _K, "selenium"),
    "uranium-present": Code("food", _S, _K, "uranium"),
    "lithium-load": Code("food", _L, _K, "much lithium"),
    "zinc-load": Code("food", _L, _K, "much zinc"),
    "release-not-known": Code("food", _K, (), "a recipe does not show what leaves a glaze"),
    "saturated-colour": Code("surface", _L, _K, "more colouring oxide than the melt may dissolve"),
    "silica-low": Code("surface", _L, _K, "too little glass former for the cone"),
    "alumina-low": Code("surface", _L, _K, "too little stabilizer for the cone"),
    "alkali-high": Code("surface", ("look", "know"), _K, "much alkali"),
    "boron-high": Code("surface", ("look", "know"), _K, "much boron"),
    "matt-surface": Code("surface", _L, _K, "matt by its silica to alumina ratio"),
    "lime-matt": Code("surface", _L, _K, "lime matt that may grow wollastonite"),
    "crawling-likely": Code("surface", _L, _L, "a raw cause of crawling and a high surface tension together"),
    "crawling-raw-cause": Code("surface", _K, _K, "a raw cause of crawling alone"),
    "body-absorbs": Code("surface", _L, (), "a body that takes up much water"),
    "crawled-on-food": Code("surface", ("stop", "look"), _K, "a crawled surface where food lies"),
    "crazed-on-food": Code("surface", ("stop", "look"), _K, "a crazed surface where food lies"),
    "pinholed-on-food": Code("surface", ("stop", "look"), _K, "pits where food lies"),
    "rough-on-food": Code("surface", ("stop", "look"), _K, "a rough or dry matt surface where food lies"),
    "metallic-on-food": Code("surface", ("stop", "look"), _K, "a metallic skin where food lies"),
    "crystalline-on-food": Code("surface", ("stop", "look"), _K, "crystals where food lies"),
    "textured-on-food": Code("surface", ("stop", "look"), _K, "texture where food lies"),
    "silica-high": Code("melt", _L, _L, "so much silica that it may not melt"),
    "boron-low": Code("melt", _K, _K, "little boron for the cone"),
    "outside-published-range": Code("melt", _K, _K, "outside a published range"),
    "lead-raw-material": Code("bench", _S, _S, "a lead material in the batch"),
    "stop-raw-material": Code("bench", _S, _S, "a material with no place in a studio"),
    "cmr-raw-material": Code("bench", _L, _L, "a carcinogen, mutagen or reproductive toxicant"),
    "cmr-suspected-raw-material": Code("bench", _L, _L, "a suspected carcinogen, mutagen or reproductive toxicant"),
    "toxic-raw-material": Code("bench", _L, _L, "a poisonous material"),
    "own-hazard-words": Code("bench", _L, _L, "hazard words of a material file of your own"),
    "silica-dust": Code("bench", _K, _K, "quartz dust"),
    "silicate-dust": Code("bench", _K, _K, "silicate dust"),
    "irritant-raw-material": Code("bench", _K, _K, "an irritant, or harmful to water life"),
    "caustic-raw-material": Code("bench", _K, _K, "a caustic material"),
    "kiln-lead": Code("kiln", _S, _S, "lead vapour"),
    "kiln-cadmium": Code("kiln", _L, _L, "cadmium vapour"),
    "kiln-manganese": Code("kiln", _L, _L, "manganese fume"),
    "kiln-fluorine": Code("kiln", _L, _L, "fluorine gases"),
    "kiln-sulphur": Code("kiln", _L, _L, "sulphur oxides"),
    "kiln-chlorine": Code("kiln", _L, _L, "hydrogen chloride"),
    "kiln-nitrogen": Code("kiln", _L, _L, "nitrogen oxides"),
    "kiln-carbon-dioxide": Code("kiln", _K, _K, "carbon dioxide"),
    "kiln-smoke": Code("kiln", _K, _K, "smoke of organic matter"),
    "kiln-zinc": Code("kiln", _K, _K, "zinc fume"),
    "kiln-copper": Code("kiln", _K, _K, "copper fume"),
    "kiln-chromium": Code("kiln", _K, _K, "chromium vapour"),
    "soluble-in-bucket": Code("bucket", ("look", "know"), ("look", "know"), "materials that dissolve in the bucket"),
    "raw-clay-high": Code("bucket", _L, _L, "much raw clay"),
    "settles-hard": Code("bucket", _K, _K, "little raw clay"),
}


def codes_table() -> str:
    """Return the table of all caution codes in Markdown, with the thresholds that raise each."""
    data = load_data("caution_thresholds.yaml")
    raised: dict[str, list[str]] = {}
    for key in data["thresholds"]:
        plain = threshold(key)
        for code in plain.raises:
            raised.setdefault(code, []).append(f"{plain.value:g} {plain.unit}")
    for key in data["by_cone"]:
        moving = by_cone(key)
        for code in moving.raises:
            values = ", ".join(f"{value:g} at cone {cone}" for cone, value in moving.values.items())
            raised.setdefault(code, []).append(f"{values} ({moving.unit})")
    crawling = load_data("crawling.yaml")
    raw = ", ".join(
        f"{cause['wt_percent']:g} wt % {cause['key'].replace('_', ' ')}" for cause in crawling["raw_causes"]
    )
    rank = crawling["surface_tension_rank_mn_m"]
    raised["crawling-raw-cause"] = [raw]
    raised["crawling-likely"] = [f"{raw}, with {rank['value']:g} mN/m ({rank['model']})"]
    for entry in load_data("kiln_emissions.yaml")["metals"].values():
        limit = threshold(entry["threshold"])
        text = f"{limit.value:g} {limit.unit}"
        if text not in raised.setdefault(entry["code"], []):
            raised[entry["code"]].append(text)
    lines = ["# Caution codes", "", "Steps of severity:", ""]
    lines += [f"- **{step}**: {step.meaning}." for step in Severity]
    lines += [
        "",
        "Where a code can take two steps, the graver one stands first. A dash: not raised on ware that is not for food.",
        "",
    ]
    lines += ["| about | code | what | on food ware | not for food | thresholds |", "|---|---|---|---|---|---|"]
    for about in ABOUT:
        for name, row in CODES.items():
            if row.about == about:
                steps, other = ", ".join(row.on_food), ", ".join(row.otherwise) or "-"
                lines.append(
                    f"| {about} | `{name}` | {row.what} | {steps} | {other} | {'; '.join(raised.get(name, [])) or '-'} |"
                )
    return "\n".join(lines) + "\n"
