"""What to be careful with at the bench and the kiln: the worst hazard first, then the dust, then what the kiln gives off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.emissions import fumes, gases
from glazecalc.caution.material_hazards import hazards_of
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading
from glazecalc.readings.two_lines import in_two_lines
from glazecalc.sentences import capital

__all__ = ("read",)

_HABIT = "respirator while dry, wet cleaning, vented kiln; safety sheets come first."
_MOST = 2  # materials that are named before they are counted


def read(facts: Facts) -> Reading:
    """Return the reading `bench`."""
    bench = [caution for caution in facts.cautions if caution.about == "bench"]  # gravest first
    kiln = {caution.code for caution in facts.cautions if caution.about == "kiln"}
    names = {emission.code: emission.name for emission in (*gases().values(), *fumes().values())}
    fumed = [names[code] for code in names if code in kiln]
    grave = [caution for caution in bench if caution.severity is not Severity.KNOW]
    said = [f"{caution.title}: {_materials(caution)}" for caution in grave]
    unknown = [material.name for material in facts.batch.materials if hazards_of(material).is_unknown]
    unknown = list(dict.fromkeys(unknown))
    if unknown:
        said.append(f"No hazard data for {_listed(unknown)}: get the safety data sheet")
    dusts = [caution for caution in bench if caution.severity is Severity.KNOW]
    if dusts:
        said.append(_dusts(dusts))
    if fumed:
        said.append(f"Kiln: {', '.join(fumed)}")
    worst = bench[0].severity if bench else None
    code, do = "bench-usual", f"{capital(_HABIT)}"
    if worst is Severity.STOP:
        code, do = "bench-stop", "Do not open that bag before extraction and hygiene are settled."
    elif worst is Severity.LOOK:
        code, do = "bench-grave", f"Gloves, {_HABIT}"
    elif unknown:
        code = "bench-no-data"
    elif dusts:
        code = "bench-dust"
    used = facts.batch.materials
    carried = {name for caution in bench for name in caution.evidence.get("materials", ())}
    return Reading(
        about="bench",
        code=code,
        says=f"{'. '.join(said)}." if said else "No hazard beyond any dry powder is on file for these materials.",
        because=f"{len(carried)} of {len(used)} materials carry one of these.",
        evidence={
            "cautions": [caution.code for caution in bench] + sorted(kiln),
            "materials": sorted(carried),
            "no_hazard_data": unknown,
        },
        do=do,
        short=in_two_lines(*_short(grave, unknown, dusts, fumed)) if said else "",
        source="the cautions of this page",
    )


def _short(
    grave: Sequence[Caution], unknown: Sequence[str], dusts: Sequence[Caution], fumed: Sequence[str]
) -> Iterator[str | Sequence[str]]:
    """Yield what the two lines hold: the grave hazards with their materials, else the dusts; then the kiln and the habit."""
    for caution in grave:
        first = _listed(caution.evidence.get("materials", ()), 1)
        yield (f"{caution.title}: {_materials(caution)}.", f"{caution.title}: {first}.", f"{caution.title}.")
    if unknown:
        yield (
            f"No hazard data for {_listed(unknown)}: get the safety data sheet.",
            f"No hazard data: {_listed(unknown, 1)}.",
        )
    if dusts and len(grave) <= 1:
        yield (f"{_dusts(dusts)}.", f"{dusts[0].title}.")
    if fumed:
        yield [f"Kiln: {_listed(fumed, most)}." for most in range(len(fumed), 0, -1)]
    if any(caution.severity is Severity.STOP for caution in grave):
        yield (
            "Do not open that bag before extraction and hygiene are settled.",
            "Open no such bag before extraction is settled.",
        )
    else:
        wear = "Gloves, respirator" if grave else "Respirator"
        yield (f"{wear}, vented kiln; safety sheets first.", f"{wear}, vented kiln.")


def _dusts(dusts: Sequence[Caution]) -> str:
    named = "; ".join(f"{caution.title[0].lower()}{caution.title[1:]}" for caution in dusts)
    return f"{capital(named)}"


def _materials(caution: Caution) -> str:
    return _listed(list(caution.evidence.get("materials", ())))


def _listed(names: Sequence[str], most: int = _MOST) -> str:
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")
