"""Will the coat crawl, pinhole, blister or settle? By what is known to cause it in the batch, and the melt's surface tension."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from glazecalc.caution.caution import Severity
from glazecalc.caution.crawling import high_tension
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.readings.signs import met, sign_threshold
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import capital

__all__ = ("read",)

_KINDS = 4  # crawling or cracking, gas, settling, salts
_SHARE, _THRESHOLD = "_wt_percent", "_threshold"


def read(facts: Facts) -> Reading:
    """Return the reading `coat`: crawling, then gas, then the bucket; its code is the first of them."""
    by_code = {caution.code: caution for caution in facts.cautions}
    crawl, crack = by_code.get("crawling-likely"), by_code.get("crawling-raw-cause") or by_code.get("raw-clay-high")
    settles, soluble = by_code.get("settles-hard"), by_code.get("soluble-in-bucket")
    loss, limit = facts.batch.loss_percent(), sign_threshold("gas")
    gas = [sign.says for sign in met(facts, "gas")]
    gas += [f"{loss:.0f} % lost in the fire"] if loss > limit.value else []
    found: list[tuple[str, str, str]] = []
    if crawl is not None:
        do = "Tiles at three thicknesses; calcine or change the cause."
        if "crawled-on-food" in by_code:
            do = "Meant to crawl? These steer it: tiles at three thicknesses."
        found.append(("coat-may-crawl", f"it may crawl ({_causes(crawl.evidence)})", do))
    elif crack is not None:
        do = "Dip a tile, dry it, look for cracks."
        found.append(("coat-may-crack", f"the coat may crack and draw back ({_causes(crack.evidence)})", do))
    if gas:
        do = "Look at a thick tile with a lens."
        found.append(("coat-gas", f"gas may leave pinholes or blisters ({', '.join(gas)})", do))
    if settles is not None:
        share = settles.evidence["raw_clay_wt_percent"]
        do = "Try 2 % of bentonite, counted in."
        found.append(("coat-settles", f"it may settle hard and dust off ({share:.1f} % raw clay)", do))
    if soluble is not None and soluble.severity is Severity.LOOK:
        do = "Mix what you use soon, pour no water off."
        found.append(
            (
                "coat-soluble",
                f"salts crust at rims ({soluble.evidence['freely_soluble_wt_percent']:.0f} % dissolves)",
                do,
            )
        )
    tension = next((e.value for e in facts.estimates if e.name == f"surface tension, {high_tension().model}"), None)
    clay = facts.batch.share_percent(lambda material: material.is_raw_clay)
    known = f"Raw clay {clay:.0f} %, loss {loss:.0f} %"
    known += f", surface tension {tension:.0f} mN/m (high from {high_tension().value:g})" if tension is not None else ""
    if found:
        code = found[0][0]
        says = "; ".join(text for _, text, _ in found)
        says, do = f"{capital(says)}.", found[0][2]
        known = f"{len(found)} of {_KINDS} troubles looked for have a cause here"
    else:
        code, says = "coat-no-cause", "No known cause of crawling or settling found; pinholes no recipe shows."
        do = "Dip a tile, dry it, look for cracks."
    return Reading(
        about="coat",
        code=code,
        says=says,
        because=f"{known}.",
        evidence={
            "cautions": [c.code for c in (crawl, crack, settles, soluble) if c is not None]
            + [sign.key for sign in met(facts, "gas")],
            "raw_clay_wt_percent": clay,
            "loss_wt_percent": loss,
            "threshold_loss_wt_percent": limit.value,
            "surface_tension_mn_m": tension,
            "surface_tension_threshold_mn_m": high_tension().value,
        },
        do=do,
        short=_short([text for _, text, _ in found], do) if found else "",
        source=f"the cautions of this page; loss: {limit.source}",
    )


def _short(troubles: Sequence[str], do: str) -> str:
    """Return the troubles in few words: the first with its cause, the later ones without where there is no room."""
    later = [
        (f"{text}{end}", f"{text.partition(' (')[0]}{end}")
        for text, end in zip(troubles[1:], _ends(troubles), strict=True)
    ]
    head = f"{capital(troubles[0])}{';' if later else '.'}"
    return in_two_lines(head, *later, (do, f"{do.partition(',')[0].removesuffix('.')}."))


def _ends(troubles: Sequence[str]) -> list[str]:
    """Return the mark behind each trouble but the first."""
    return [";"] * (len(troubles) - 2) + ["."] if len(troubles) > 1 else []


def _causes(evidence: Mapping[str, Any]) -> str:
    """Return the causes that a caution on crawling holds as evidence, with their shares."""
    shares = {
        key.removesuffix(_SHARE).replace("_", " "): value
        for key, value in evidence.items()
        if key.endswith(_SHARE) and _THRESHOLD not in key and key != f"threshold{_SHARE}"
    }
    return ", ".join(f"{name} {value:.0f} %" for name, value in shares.items())
