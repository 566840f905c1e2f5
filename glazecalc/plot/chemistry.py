"""Pictures of what a glaze is made of: its oxides, which bag brings them, and where it stands by silica and alumina."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, TypeAlias

from glazecalc.check_report import CheckReport
from glazecalc.convention import Convention
from glazecalc.convert.batch import Batch
from glazecalc.convert.moles import as_row, folded, molar_mass_array
from glazecalc.convert.unity import UnityFormula, unity_from_moles
from glazecalc.errors import ConventionError
from glazecalc.estimate.fired_glazes import fired_glazes
from glazecalc.estimate.joint_spread import alumina_and_silica
from glazecalc.estimate.spread import Sampling
from glazecalc.oxides import AXIS, INDEX, OPACIFIERS, R2O, RO, role
from glazecalc.plot.glazes import DrawnGlaze, Glazes, glazes_of, one_convention
from glazecalc.plot.style import FAINT, INK, PAPER, dress, legend, look, name_rows, new_axes, oxide_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.patches import Rectangle

__all__ = ("contributions", "oxides", "silica_alumina")

Counting: TypeAlias = Literal["unity", "mole percent", "weight percent"]
_GROUPS = ("R₂O", "RO", "Al₂O₃", "glass formers", "opacifiers", "colourants and others")
_NEAR = 1.8  # times the glazes' own silica and alumina: so far the picture reaches
_LEAST_SEEN = {"Al2O3": 0.6, "SiO2": 5.0}  # and never less far, in moles
_TRACE_PERCENT = 0.05  # of the fired glaze: less is named and not drawn
_WIDE_ENOUGH = 14.0  # % of an oxide: a square that holds its number
_SPREAD = "where its bags may put it (90 %)"
_SURFACES = {"gloss": "o", "satin": "s", "matt": "^", "dry": "v", "not_said": "."}  # outcome -> marker


def silica_alumina(
    glazes: Glazes, *, spread: bool = True, observations: bool = True, title: str = "", ax: Axes | None = None
) -> Axes:
    """Draw where glazes stand by the silica and alumina of their unity formulas.

    Parameters
    ----------
    glazes : CheckReport, Composition, Comparison, or several
        What is placed; a mapping gives the names.
    spread : bool
        Draw around each report the ellipse that holds nine tenths of random draws of its bags' analyses.
    observations : bool
        Show the published glazes that were fired, each with the surface that its source tells of; those that did not melt are crossed.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        Al2O3 across, SiO2 up [mol per mol of flux].

    Raises
    ------
    CompositionError
        For a glaze without a unity formula.
    ConventionError
        For formulas of several conventions, or divided by alumina.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> report = gc.check(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> ax = gc.plot.silica_alumina(report)
    >>> ax.get_ylabel()
    'SiO₂ [mol per mol of flux]'
    """
    drawn = glazes_of(glazes)
    convention = one_convention(drawn)
    if convention.unity_on_alumina:
        raise ConventionError("divided by alumina every glaze stands on one line.", "Leave out unity_on_alumina.")
    ax = ax if ax is not None else new_axes(8.2, 4.8)
    formulas = [glaze.in_unity() for glaze in drawn]
    right, top = (max(least, *(_NEAR * one[oxide] for one in formulas)) for oxide, least in _LEAST_SEEN.items())
    beyond = _observed(ax, convention, right, top) if observations else 0
    for at, (glaze, unity) in enumerate(zip(drawn, formulas, strict=True)):
        its = look(at)
        ax.plot(
            unity["Al2O3"], unity["SiO2"], its.marker, color=its.colour, markersize=5, markeredgecolor=INK,
            label=glaze.name, zorder=4,
        )  # fmt: skip
        if spread and glaze.report is not None:
            _ellipse(ax, glaze.report, convention, at)
    _ratio_lines(ax, right, top)
    unit = oxide_words(convention.unit)
    legend(ax, first=[*(glaze.name for glaze in drawn), _SPREAD], beside=True)
    return dress(
        ax, title or "Silica and alumina", below=_below(convention, beyond, observations=observations),
        x=f"Al₂O₃ [{unit}]", y=f"SiO₂ [{unit}]",
    )  # fmt: skip


def _below(convention: Convention, beyond: int, *, observations: bool) -> str:
    said = f"{convention.description}."
    told = "Small marks: published glazes that were fired, by the surface told; they are potters' observations."
    told += f" {beyond} more lie outside." if beyond else ""
    return f"{said} {told}" if observations else said


def _observed(ax: Axes, convention: Convention, right: float, top: float) -> int:
    """Draw each published glaze by the surface it had, what did not melt as a cross; return how many lie outside the picture."""
    kinds: dict[tuple[str, str], list[UnityFormula]] = {}
    beyond = 0
    for one in fired_glazes():
        unity = unity_from_moles(as_row(one.mole_percent)[0], convention)
        if unity["Al2O3"] > right or unity["SiO2"] > top:
            beyond += 1
            continue
        if one.melt in ("unmelted", "underfired"):
            kinds.setdefault(("did not melt", "x"), []).append(unity)
        else:
            said = "surface not told" if one.surface == "not_said" else one.surface
            kinds.setdefault((said, _SURFACES[one.surface]), []).append(unity)
    for (said, marker), formulas in sorted(kinds.items()):
        ax.plot(
            [one["Al2O3"] for one in formulas], [one["SiO2"] for one in formulas], marker, color=FAINT, markersize=4.5,
            markerfacecolor="none" if marker not in "x." else FAINT, linestyle="none",
            label=f"fired: {said} ({len(formulas)})", zorder=2,
        )  # fmt: skip
    return beyond


def _ellipse(ax: Axes, report: CheckReport, convention: Convention, at: int) -> None:
    from matplotlib.patches import Ellipse

    found = alumina_and_silica(report.batch, convention, Sampling())
    if found is None:
        return
    its = look(at)
    ax.add_patch(
        Ellipse(
            found.centre, *found.axes, angle=found.turn_degrees, facecolor=its.colour, alpha=0.35, edgecolor=INK,
            linestyle=its.line, zorder=5, label=_SPREAD if at == 0 else None,
        )
    )  # fmt: skip


def _ratio_lines(ax: Axes, right: float, top: float) -> None:
    """Draw lines of equal SiO2 : Al2O3, named at the edge where they leave the picture."""
    for ratio in (5, 7, 10, 15):
        end = min(right, top / ratio)
        ax.plot([0, end], [0, ratio * end], color=FAINT, linewidth=0.6, linestyle=(0, (2, 3)), zorder=1)
        ax.annotate(
            f"{ratio} : 1", (end, ratio * end), (-3, -3), textcoords="offset points", ha="right", va="top",
            fontsize=7, color=FAINT, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6},
        )  # fmt: skip
    ax.set_xlim(0, right)
    ax.set_ylim(0, top)


def oxides(glazes: Glazes, *, counted: Counting = "unity", title: str = "", ax: Axes | None = None) -> Axes:
    """Draw the oxides of one or more glazes as bars, paired and grouped by their role.

    Parameters
    ----------
    glazes : CheckReport, Composition, Comparison, or several
        What is drawn; a mapping gives the names.
    counted : str
        ``"unity"``, ``"mole percent"`` or ``"weight percent"``.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        One bar an oxide and glaze; its amount stands at its end.

    Raises
    ------
    CompositionError
        For a glaze without a unity formula, where that is asked.
    ConventionError
        For formulas of several conventions.
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> glaze = gc.mole_percent(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> gc.plot.oxides({"Harbour Black": glaze}, counted="mole percent").get_xlabel()
    'mol %'
    """
    drawn = glazes_of(glazes)
    amounts = [_counted(glaze, counted) for glaze in drawn]
    digits = 2 if counted == "unity" else 1
    least = 10.0**-digits / 2
    groups = _grouped({oxide for one in amounts for oxide, amount in one.items() if amount >= least})
    named = {oxide for members in groups.values() for oxide in members}
    traces = [oxide for oxide in AXIS if oxide not in named and any(one.get(oxide, 0.0) > 0 for one in amounts)]
    ax = ax if ax is not None else new_axes(7.0, 1.6 + 0.3 * (1 + len(drawn)) * sum(map(len, groups.values())) * 0.55)
    height = 0.8 / len(drawn)
    row, rows = 0.0, {}
    for group, members in groups.items():
        ax.annotate(
            group, (1.01, row), xycoords=("axes fraction", "data"), ha="left", va="center", fontsize=7.5, color=FAINT
        )
        for oxide in members:
            rows[oxide] = row
            row += 1.0
        row += 0.45
    for at, (glaze, one) in enumerate(zip(drawn, amounts, strict=True)):
        its = look(at)
        for oxide, middle in rows.items():
            y = middle + (at - (len(drawn) - 1) / 2) * height
            amount = one.get(oxide, 0.0)
            ax.barh(
                y, amount, 0.9 * height, color=its.colour, hatch=its.hatch, edgecolor=PAPER, linewidth=0.4,
                label=glaze.name if middle == 0.0 else None,
            )  # fmt: skip
            ax.annotate(
                _printed(amount, digits), (amount, y), (3, 0), va="center",
                textcoords="offset points", fontsize=7 if len(drawn) < 3 else 6, color=INK,
            )  # fmt: skip
    ax.set_yticks(list(rows.values()), [oxide_words(oxide) for oxide in rows])
    ax.set_ylim(row - 0.45 - 0.4, -0.6)
    ax.set_xlim(0, 1.16 * max(max(one.values()) for one in amounts))
    if counted == "unity":
        convention = one_convention(drawn)
        unit, below = oxide_words(convention.unit), convention.description + "."
    else:
        unit = "mol %" if counted == "mole percent" else "wt %"
        below = "The fired glaze, additions included; all iron as Fe2O3."
    below += _left_out(traces, f"{least:g}")
    if len(drawn) > 1:
        legend(ax)
    return dress(ax, title or _title("Oxides", drawn), below=below, x=unit, grid="x")


def _left_out(traces: list[str], least: str) -> str:
    return f" Below {least} and left out: {', '.join(map(oxide_words, traces))}." if traces else ""


def _printed(amount: float, digits: int) -> str:
    """Return an amount as it stands at its bar: nothing for none, and a trace as less than the last digit."""
    least = 10.0**-digits
    return "" if amount == 0 else f"{amount:.{digits}f}" if amount >= least / 2 else f"<{least:g}"


def _title(what: str, drawn: tuple[DrawnGlaze, ...]) -> str:
    return f"{what} of {drawn[0].name}" if len(drawn) == 1 and drawn[0].name != "glaze" else what


def _counted(glaze: DrawnGlaze, counted: Counting) -> dict[str, float]:
    if counted == "unity":
        return dict(glaze.in_unity())
    return dict(glaze.mole_percent if counted == "mole percent" else glaze.fired)


def _grouped(held: set[str]) -> dict[str, list[str]]:
    """Return the groups in which the oxides are drawn, each in printing order; empty ones left out."""
    groups: dict[str, list[str]] = {name: [] for name in _GROUPS}
    for oxide in ("KNaO", *AXIS):
        if oxide in held:
            groups[_group(oxide)].append(oxide)
    return {name: members for name, members in groups.items() if members}


def _group(oxide: str) -> str:
    if oxide in (*R2O, "KNaO"):
        return "R₂O"
    if oxide in RO:
        return "RO"
    if oxide == "Al2O3":
        return "Al₂O₃"
    if oxide in OPACIFIERS:
        return "opacifiers"
    return "glass formers" if role(oxide) == "glass former" else "colourants and others"


def contributions(batch: CheckReport | Batch, *, title: str = "", ax: Axes | None = None) -> Axes:
    """Draw which material brings which oxide.

    Parameters
    ----------
    batch : CheckReport or Batch
        From `check` or `resolve`.
    title : str
        What stands above; by default what is drawn.
    ax : Axes, optional
        Where to draw; by default a new picture.

    Returns
    -------
    Axes
        One row a line of the recipe, one column an oxide; the square and its number are the line's share of that oxide [% by weight].

    Raises
    ------
    GlazeError
        Where matplotlib is missing.

    Examples
    --------
    >>> import glazecalc as gc
    >>> batch = gc.resolve(gc.read_recipe("recipes/harbour-black.txt"), gc.load_materials("materials"))
    >>> ax = gc.plot.contributions(batch)
    >>> [label.get_text() for label in ax.get_yticklabels()][:2]
    ['Potash feldspar', 'Studio calcium borate frit']
    """
    of = batch.batch if isinstance(batch, CheckReport) else batch
    masses = molar_mass_array()
    brought = folded(of.contributions() / masses) * masses
    sums = brought.sum(axis=0)
    least = _TRACE_PERCENT / 100 * float(sums.sum())
    held = [oxide for oxide in AXIS if sums[INDEX[oxide]] >= least]
    traces = [oxide for oxide in AXIS if 0 < sums[INDEX[oxide]] < least]
    ax = ax if ax is not None else new_axes(max(6.0, 2.6 + 0.5 * len(held)), 1.7 + 0.38 * len(of.lines))
    for row, line in enumerate(of.lines):
        for column, oxide in enumerate(held):
            share = 100 * float(brought[row, INDEX[oxide]] / sums[INDEX[oxide]])
            if share <= 0:
                continue
            side = 0.92 * math.sqrt(share / 100)
            ax.add_patch(_square(column, row, side, look(1 if line.addition else 0).colour))
            words = f"{share:.0f}" if share >= 1 else "<1"
            if share > _WIDE_ENOUGH:
                ax.text(column, row, words, ha="center", va="center", fontsize=7, color=INK if line.addition else PAPER)
            else:  # beside a square that is smaller than its number
                ax.text(column + side / 2 + 0.05, row, words, ha="left", va="center", fontsize=7, color=INK)
    ax.set_xlim(-0.6, len(held) - 0.4)
    ax.set_ylim(len(of.lines) - 0.4, -0.6)
    ax.set_xticks(range(len(held)), [oxide_words(oxide) for oxide in held])
    name_rows(ax, [f"+ {line.material.name}" if line.addition else line.material.name for line in of.lines])
    below = "Share of each oxide that a material brings, % by weight; each column adds up to 100. All iron as Fe2O3. +: addition."
    below += _left_out(traces, f"{_TRACE_PERCENT:g} % of the glaze")
    name = of.recipe.name
    return dress(
        ax,
        title or f"What brings what{f': {name}' if name else ''}",
        below=below,
        x="% of the oxide, by weight",
        grid="",
    )


def _square(column: float, row: float, side: float, colour: str) -> Rectangle:
    from matplotlib.patches import Rectangle

    return Rectangle((column - side / 2, row - side / 2), side, side, facecolor=colour, edgecolor="none", alpha=0.9)
