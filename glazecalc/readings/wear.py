"""Will it wear: acid, dishwasher, cutlery? By signs in the glass that rules of the trade name; none is a measurement."""

from __future__ import annotations

from glazecalc.caution.thresholds import threshold
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.readings.signs import looked_for, met, sign_threshold
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import capital

__all__ = ("read",)

_DO = "Vinegar 3 days, hot soda 6 h, a knife across."


def read(facts: Facts) -> Reading:
    """Return the reading `wear`."""
    zircon, limit = facts.fired.get("ZrO2", 0.0), sign_threshold("zircon_marks")
    worn, marked = met(facts, "wear"), met(facts, "marks")
    marks = [sign.says for sign in marked] + ([f"zircon, {zircon:.0f} % ZrO2"] if zircon > limit.value else [])
    signs = len(looked_for(facts, "wear", "marks")) + 1  # and zircon
    parts = [] if facts.formula.holds else ["acid and dishwasher cannot be told, as the unity formula does not hold"]
    leaded = facts.fired.get("PbO", 0.0) > threshold("lead_stop").value
    if leaded and not parts:  # the rules behind the signs were read for glazes without lead
        parts.append("acid and dishwasher cannot be told in a lead glass")
    if worn:
        parts.append(f"acid and dishwasher may wear it ({', '.join(sign.says for sign in worn)})")
    if marks:
        parts.append(f"cutlery may mark it ({', '.join(marks)})")
    code = "wear-may-wear" if worn else "wear-may-mark" if marks else "wear-not-told" if parts else "wear-no-sign"
    says = "; ".join(parts) or "none of the signs of a glass that wears or marks, which is no proof that it lasts"
    at = "" if facts.cone or not facts.formula.holds else ", those by cone left out"
    return Reading(
        about="wear",
        code=code,
        says=f"{capital(says)}.",
        because=f"{len(worn) + len(marks)} of {signs} signs{at}; no measurement.",
        evidence={
            "cautions": [sign.key for sign in (*worn, *marked)],
            "signs_met": len(worn) + len(marks),
            "signs_looked_for": signs,
            "ZrO2_wt_percent_fired": zircon,
            "threshold_ZrO2_wt_percent_fired": limit.value,
        },
        do=_DO,
        short=in_two_lines(f"{capital(says)}.", (f"{len(worn) + len(marks)} of {signs} signs{at}.", ""), _DO)
        if parts
        else f"No sign of a glass that wears or marks (0 of {signs}{at}), no proof that it lasts. {_DO}",
        source=f"the cautions of this page; zircon: {limit.source}",
    )
