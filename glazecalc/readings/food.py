"""What of it meets food? Lead and cadmium for every use, the metals that stand out, and what no recipe shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from glazecalc.caution.caution import Caution
from glazecalc.caution.codes import codes
from glazecalc.caution.metals import Metal, metals
from glazecalc.caution.test_plan import metals_to_ask_for
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.recipe import NOT_FOR_FOOD
from glazecalc.sentences import capital, some

__all__ = ("read",)

_ALWAYS = ("PbO", "CdO")
_ON_FOOD = "-on-food"
_WHERE = " where food lies"  # said by the word in front of the two lines


def read(facts: Facts) -> Reading:
    """Return the reading `food`."""
    found = {caution.code: caution for caution in facts.cautions}
    first = {oxide: _stands(metals()[oxide], facts, found) for oxide in _ALWAYS}
    none = [metals()[oxide].name for oxide in _ALWAYS if not first[oxide]]
    said = [text for text in first.values() if text]
    if none:
        said.append(f"{' and '.join(none)}: none reported in the analyses, which is no test for them")
    out = _outstanding(facts)
    named = ", ".join(f"{metal.name} ({facts.fired[metal.oxide]:.2g} % {metal.oxide})" for metal in out)
    said.append(
        f"of {len(metals()) - len(_ALWAYS)} other metals {named or 'none'} stand{'' if len(out) > 1 else 's'} out"
    )
    surfaces = [caution for code, caution in found.items() if code.endswith(_ON_FOOD) and caution.about == "surface"]
    if surfaces:
        said.append(", ".join(f"{caution.title[0].lower()}{caution.title[1:]}" for caution in surfaces))
    asked = ", ".join(("Pb", "Cd", *metals_to_ask_for(facts.cautions, facts.fired)))
    not_meant = facts.use == NOT_FOR_FOOD
    if any(facts.fired[oxide] > 0 for oxide in _ALWAYS):
        code = "food-lead-or-cadmium"
    elif not_meant:
        code = "food-not-meant"
    elif out:
        code = "food-metals"
    elif surfaces:
        code = "food-surface"
    else:
        code = "food-release-not-known"
    do = f"Have fired pieces tested for release: {asked} (--tests)."
    if not_meant:
        do = "Not meant for food: mark it so that it lasts."
    return Reading(
        about="food",
        code=code,
        says=f"{'. '.join(f'{capital(text)}' for text in said)}.",
        because="What leaves a glaze no recipe shows.",
        evidence={
            "cautions": [c.code for c in facts.cautions if c.about == "food" or c in surfaces],
            "use": facts.use or "not given, read as food ware",
            **{f"{oxide}_wt_percent_fired": facts.fired[oxide] for oxide in _ALWAYS},
            "below_detection": [oxide for oxide in _ALWAYS if f"{metals()[oxide].name}-below-detection" in found],
            "metals_that_stand_out": {metal.oxide: facts.fired[metal.oxide] for metal in out},
            "ask_for": asked.split(", "),
        },
        do=do,
        short=_short(facts, first, none, out, surfaces, asked),
        source="the analyses of the materials; the cautions of this page",
    )


def _short(
    facts: Facts,
    first: Mapping[str, str],
    none: Sequence[str],
    out: Sequence[Metal],
    surfaces: Sequence[Caution],
    asked: str,
) -> str:
    """Return the answer in two lines: names without their shares."""
    lead = " and ".join(none)
    first_said = [f"{capital(text)}." for text in first.values() if text]
    first_said += [f"{capital(lead)}: in no analysis, which is no test."] if none else []
    others = len(metals()) - len(_ALWAYS)
    stand = f"stand{'' if len(out) > 1 else 's'} out."
    named = [some([metal.name for metal in out], most) or "none" for most in range(max(1, len(out)), 0, -1)]
    titles = [caution.title for caution in surfaces]
    few = [title.removesuffix(_WHERE) for title in titles]
    surface = [some(titles, len(titles)), *(some(few, most) for most in range(len(few), 0, -1))]
    return in_two_lines(
        " ".join(first_said),
        [f"{others} other metals: {metals_named} {stand}" for metals_named in named],
        [*(f"{names}." for names in surface), ""] if surfaces else "",
        "Not for food: mark it so that it lasts."
        if facts.use == NOT_FOR_FOOD
        else [f"No recipe shows release: test for {asked}.", f"Have its release tested: {asked}."],
    )


def _stands(metal: Metal, facts: Facts, found: dict[str, Caution]) -> str:
    """Return how much of a metal stands in the glaze, that it is below detection, or nothing."""
    share = facts.fired[metal.oxide]
    if share > 0:
        return f"{metal.name} stands in it ({share:.3g} % {metal.oxide} fired)"
    below = found.get(f"{metal.name}-below-detection")
    return (
        f"{metal.name} below detection in {' and '.join(below.evidence['below_detection'])}, not zero" if below else ""
    )


def _outstanding(facts: Facts) -> list[Metal]:
    """Return the metals beside lead and cadmium that a caution of this glaze is about, in the order of the data."""
    elements = {codes()[caution.code].ask_for for caution in facts.cautions}
    elements |= {"Cr"} if "Cr(VI)" in elements else set()
    return [metal for metal in metals().values() if metal.element in elements and metal.oxide not in _ALWAYS]
