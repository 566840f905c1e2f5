"""The page of `glazecalc cost`."""

from __future__ import annotations

from decimal import Decimal

from glazecalc.workshop.cost import BatchCost, CostLine
from glazecalc.workshop.pieces import GlazeNeed
from glazecalc.workshop.scale import ScaledBatch

__all__ = (
    "cost_page",
    "litres",
    "share_percent",
)


def litres(scaled: ScaledBatch) -> float:
    """Return the volume of the slurry [l]; 0 where no gravity was asked for."""
    return (scaled.volume_ml or 0.0) / 1000


def share_percent(line: CostLine, cost: BatchCost) -> float | None:
    """Return the share of a line in the total [%], or None where either is open."""
    if line.cost is None or not cost.total:
        return None
    return float(100 * line.cost / cost.total)


def cost_page(cost: BatchCost, scaled: ScaledBatch, need: GlazeNeed | None, with_stock: bool) -> str:
    """Return costs and stock of a batch as plain text in 100 columns."""
    name = scaled.recipe.name or "The batch"
    out = [f"{name}: {scaled.dry_mass_g:.1f} g dry" + (f", {litres(scaled):.2f} l" if scaled.volume_ml else ""), ""]
    money = cost.currency is not None
    head = f"  {'material':<30}{'weigh g':>10}"
    if money:
        head += f"{'a kg':>10}{cost.currency:>11}{'share':>7}"
    if with_stock:
        head += f"{'stock g':>11}{'batches':>9}"
    out.append(head)
    for x in sorted(cost.lines, key=lambda line: -(line.cost or Decimal(0))):
        row = f"  {x.name:<30.30}{x.mass_g:>10.1f}"
        if money:
            share = share_percent(x, cost)
            shown = f"{x.price_per_kg:.2f}" if x.price_per_kg is not None else "?"
            row += f"{shown:>10}{x.cost if x.cost is not None else '?':>11}{f'{share:.0f} %' if share is not None else '':>7}"
        if with_stock:
            row += f"{f'{x.stock_g:.0f}' if x.stock_g is not None else '?':>11}{f'{x.batches:.1f}' if x.batches is not None else '?':>9}"
        out.append(row.rstrip())
    out.append("")
    if money:
        out += _totals(cost, scaled, need)
    first = cost.runs_out_first
    if first is not None:
        out.append(f"  {first.name} runs out first: it lasts for {first.batches:.1f} batches of this size")
        for x in cost.lines:
            if x.short_g:
                packs = f", {x.packs_to_buy} pack(s)" if x.packs_to_buy else ""
                out.append(f"  to buy for this batch: {x.short_g:.0f} g of {x.name}{packs}")
    return "\n".join(out).rstrip()


def _totals(cost: BatchCost, scaled: ScaledBatch, need: GlazeNeed | None) -> list[str]:
    if cost.total is None:
        return [
            f"  {cost.priced_total} {cost.currency} for the lines that have a price; total open: {', '.join(cost.unpriced)} without one"
        ]
    out = [f"  {cost.total} {cost.currency} in materials; {cost.each(scaled.dry_mass_g / 1000)} a kg dry"]
    if scaled.volume_ml:
        out.append(f"  {cost.each(litres(scaled))} {cost.currency} a litre")
    if need is not None:
        out.append(f"  {cost.each(need.pieces)} {cost.currency} a piece, over {need.pieces} pieces")
    return [*out, "  labour, firing and seconds are not in it"]
