"""The page of `glazecalc cost`."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from glazecalc.files.shelf import currency_decimals
from glazecalc.show.table import table
from glazecalc.show.text import wrapped
from glazecalc.workshop.cost import BatchCost, CostLine

__all__ = ("NOT_INCLUDED", "buying", "heading", "ordered", "page", "rows", "sums")

NOT_INCLUDED = "labour, firing and seconds not included"


def page(found: BatchCost) -> str:
    """Return costs and stock of a batch as plain text in 100 columns."""
    out = [*wrapped(": ".join(heading(found)), indent=0, hang=2), "", *table(rows(found), gap=3), ""]
    if found.currency is not None:
        out += _totals(found)
    for text in buying(found):
        out += wrapped(text, hang=4)
    return "\n".join(out).rstrip()


def heading(found: BatchCost) -> tuple[str, str]:
    """Return what is costed, and how much of it."""
    scaled = found.scaled
    volume = f", {scaled.litres:.2f} l" if scaled.litres else ""
    return scaled.recipe.name or "The batch", f"{scaled.dry_mass_g:.1f} g dry{volume}"


def rows(found: BatchCost) -> list[list[str]]:
    """Return the lines, the heaviest first, under their heads."""
    heads = ["material", "weigh g"]
    heads += ["per kg", found.currency, "share"] if found.currency is not None else []
    heads += ["stock g", "batches"] if found.has_stock else []
    return [heads, *(_row(x, found) for x in ordered(found))]


def buying(found: BatchCost) -> list[str]:
    """Return what runs out first, and what is to be bought for this batch; nothing where no stock is known."""
    first = found.runs_out_first
    if first is None:
        return []
    out = [f"{first.name} runs out first: it is enough for {first.batches:.1f} batches of this size"]
    for x in ordered(found):
        if x.short_g:
            packs = f", {x.packs_to_buy} pack{'s' if x.packs_to_buy > 1 else ''}" if x.packs_to_buy else ""
            out.append(f"to buy for this batch: {x.short_g:.0f} g of {x.name}{packs}")
    return out


def ordered(found: BatchCost) -> list[CostLine]:
    """Return the lines, the heaviest first."""
    return sorted(found.lines, key=lambda x: -x.mass_g)


def _money(amount: Decimal | None, found: BatchCost) -> str:
    """Return an amount in whole cents (or what the currency has), however small the batch is."""
    place = Decimal(1).scaleb(-currency_decimals()[str(found.currency)])
    if amount is None:
        return "?"
    rounded = amount.quantize(place, ROUND_HALF_UP)
    return f"<{place}" if amount > 0 and not rounded else str(rounded)


def _row(line: CostLine, found: BatchCost) -> list[str]:
    row = [line.name, f"{line.mass_g:.1f}"]
    if found.currency is not None:
        row += [
            f"{line.price_per_kg:.2f}" if line.price_per_kg is not None else "?",
            _money(line.cost, found),
            f"{line.share_percent:.0f} %" if line.share_percent is not None else "",
        ]
    if found.has_stock:
        row += [
            f"{line.stock_g:.0f}" if line.stock_g is not None else "?",
            f"{line.batches:.1f}" if line.batches is not None else "?",
        ]
    return row


def sums(found: BatchCost) -> list[tuple[str, str, str]]:
    """Return what the batch comes to, a kilogram, a litre and a piece of it; where a price is missing what the others come to, and that."""
    if found.currency is None:
        return []
    if found.total is None:
        missing = f"for the lines that have a price; total incomplete: no price for {', '.join(found.unpriced)}"
        return [("materials", f"{_money(found.priced_total, found)} {found.currency}", missing)]
    out = [("materials", found.total), ("per kg dry", found.per_kg)]
    out += [("per litre", found.per_litre)] if found.per_litre is not None else []
    need = found.scaled.need
    out += [(f"per piece of {need.pieces}", found.per_piece)] if need is not None else []
    return [(what, f"{_money(amount, found)} {found.currency}", "") for what, amount in out]


def _totals(found: BatchCost) -> list[str]:
    if found.total is None:
        return wrapped(" ".join(sums(found)[0][1:]), hang=4)
    per_kg = _money(found.per_kg, found)
    out = [f"  {_money(found.total, found)} {found.currency} for materials; {per_kg} per kg dry"]
    if found.per_litre is not None:
        out.append(f"  {_money(found.per_litre, found)} {found.currency} per litre")
    if found.scaled.need is not None:
        out.append(
            f"  {_money(found.per_piece, found)} {found.currency} per piece, for {found.scaled.need.pieces} pieces"
        )
    return [*out, f"  {NOT_INCLUDED}"]
