"""The cautions that the atmosphere raises."""

from __future__ import annotations

from collections.abc import Iterator

from glazecalc.caution.atmosphere import AtmosphereRule, Content, atmosphere_of, atmosphere_rules
from glazecalc.caution.caution import Caution
from glazecalc.caution.codes import raised
from glazecalc.caution.kiln import kiln_gases
from glazecalc.caution.oxide_amounts import OxideAmounts, amount_text, amounts_of
from glazecalc.convert.batch import Batch
from glazecalc.convert.unity import FiredAnalysis
from glazecalc.recipe import Use

__all__ = ("atmosphere_cautions",)


def atmosphere_cautions(batch: Batch, fired: FiredAnalysis, *, use: Use | None = None) -> list[Caution]:
    """Return what the stated atmosphere makes of this batch, in no order; `fired` is its analysis [wt %], all-in.

    Where no atmosphere is stated only the rules that hold in any are raised.
    """
    return list(_raised(batch, amounts_of(batch, None, fired), use))


def _raised(batch: Batch, amounts: OxideAmounts, use: Use | None) -> Iterator[Caution]:
    stated, gases = atmosphere_of(batch.recipe.atmosphere), kiln_gases(batch)
    for rule in atmosphere_rules().values():
        if rule.atmosphere not in ("any", stated):
            continue
        held = {
            content: gases.get(content.of, 0.0) if content.measure == "gas" else amounts.of(content.measure, content.of)
            for content in rule.holds
        }
        if all(value > content.threshold.value for content, value in held.items()):
            yield _caution(rule, held, stated, use)


def _caution(rule: AtmosphereRule, held: dict[Content, float], stated: str, use: Use | None) -> Caution:
    told = ", ".join(_told(content, value) for content, value in held.items())
    evidence = {f"{content.of}_{_key(content)}": value for content, value in held.items()}
    limits = {f"threshold_{content.of}_{_key(content)}": content.threshold.value for content in held}
    return raised(
        rule.key,
        f"{rule.says} Here {told}.",
        why=rule.why,
        use=use,
        do=rule.do,
        evidence={**evidence, **limits, "atmosphere": stated or "not given"},
        source=f"{rule.source}. Threshold: {'; '.join(dict.fromkeys(c.threshold.source for c in held))}",
    )


def _told(content: Content, value: float) -> str:
    if content.measure == "gas":
        return f"{value:.2g} g {content.of} given off per 100 g of dry batch"
    return amount_text(content.measure, content.of, value)


def _key(content: Content) -> str:
    return "g_per_100_g" if content.measure == "gas" else content.measure
