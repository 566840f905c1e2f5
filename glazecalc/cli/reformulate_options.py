"""What the reformulating commands share: options, lists of names, pairs NAME=NUMBER."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

import click

from glazecalc.errors import GlazeError, Notice
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.target import parse_range

__all__ = ("NameLists", "choice_options", "pairs", "prices_per_kg", "range_of")

F = TypeVar("F", bound=Callable[..., Any])
_LISTS = ("--without", "--also", "--only")


class NameLists(click.Command):
    """A command whose name options take one name, or several in a row once the file has been given."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Write ``--also a b c`` as ``--also a --also b --also c``."""
        flags = {name for p in self.params if isinstance(p, click.Option) and p.is_flag for name in p.opts} | {
            "-h",
            "--help",
        }
        spread: list[str] = []
        file_seen = False
        current = ""
        pending = False
        for token in args:
            if pending:
                spread.append(token)
                pending = False
            elif token.startswith("--") and token not in flags:
                name = token.split("=", 1)[0]
                current = name if name in _LISTS else ""
                pending = "=" not in token
                spread.append(token)
            elif token.startswith("-"):
                current = ""
                spread.append(token)
            elif current and file_seen:
                spread.extend([current, token])
            else:
                file_seen = True
                spread.append(token)
        return super().parse_args(ctx, spread)


def choice_options(function: F) -> F:
    """Add the options that say what may be used and what the batch may look like."""
    for option in reversed(
        (
            click.option(
                "--without", multiple=True, metavar="NAME", help="A material that must not be used; may repeat."
            ),
            click.option(
                "--also",
                multiple=True,
                metavar="NAME",
                help="A material at hand besides those of the recipe; may repeat.",
            ),
            click.option("--only", multiple=True, metavar="NAME", help="Use nothing but these; may repeat."),
            click.option(
                "--stock", "stock_file", metavar="FILE", help="A list of what is on your shelf, one name a line."
            ),
            click.option(
                "--keep",
                multiple=True,
                metavar="OXIDES",
                help='Hold exactly where possible, e.g. "K2O+Na2O,Al2O3,SiO2".',
            ),
            click.option("--max-materials", type=click.IntRange(1), help="At most so many base lines."),
            click.option(
                "--answers", type=click.IntRange(1, 20), default=5, show_default=True, help="At most so many answers."
            ),
            click.option(
                "--least",
                multiple=True,
                metavar="NAME=PARTS",
                help="At least so many parts per 100 of base; may repeat.",
            ),
            click.option(
                "--most", multiple=True, metavar="NAME=PARTS", help="At most so many parts per 100 of base; may repeat."
            ),
            click.option("--clay", metavar="LOW..HIGH", help="Raw clay in parts per 100 of base, for suspension."),
            click.option("--step", type=float, metavar="PARTS", help="Round the parts to this step."),
            click.option(
                "--prefer",
                type=click.Choice(("fewest-new", "loss", "cost")),
                default="fewest-new",
                show_default=True,
                help="Second aim.",
            ),
            click.option("--prices", "price_file", metavar="FILE", help="Prices as CSV: material,pack,price,currency."),
            click.option(
                "--tolerance", multiple=True, metavar="OXIDE=MOL", help="A deviation that weighs 1; may repeat."
            ),
            click.option(
                "--time-limit",
                type=float,
                default=5.0,
                show_default=True,
                metavar="S",
                help="For the search of all answers.",
            ),
        )
    ):
        function = option(function)
    return function


def prices_per_kg(
    path: str | None, library: MaterialLibrary, own: Sequence[Material] = ()
) -> tuple[dict[str, float], tuple[Notice, ...]]:
    """Return material id -> price of one kilogram from a price list, the cheapest pack each, and notices.

    Raises
    ------
    FileFaultsError
        With all faults of the file.
    GlazeError
        For prices in several currencies.
    """
    if path is None:
        return {}, ()
    from glazecalc.files.shelf import read_prices

    found, notices = read_prices(path, library, MaterialLibrary(own))
    chosen = {material: packs[0] for material, packs in found.items() if packs}
    currencies = sorted({price.currency for price in chosen.values()})
    if len(currencies) > 1:
        raise GlazeError(
            f"the prices are in {' and '.join(currencies)}; one currency was expected.",
            "Convert them by a rate of your own.",
            path,
        )
    said = (
        Notice(
            "prices", f"costs are in {currencies[0]} per kg of dry batch; an answer with an unpriced material has none."
        )
        if currencies
        else None
    )
    return {material: float(price.per_kg) for material, price in chosen.items()}, (*notices, *((said,) if said else ()))


def pairs(texts: Iterable[str], option: str) -> dict[str, float]:
    """Return ``NAME=NUMBER`` texts as a mapping; anything else is a wrong call."""
    found: dict[str, float] = {}
    for text in texts:
        name, _, number = text.rpartition("=")
        try:
            value = float(number)
        except ValueError:
            value = math.nan
        if not name.strip() or not math.isfinite(value):
            raise click.UsageError(f"'{text}' for {option} is not NAME=NUMBER.")
        found[name.strip()] = value
    return found


def range_of(text: str | None, option: str) -> tuple[float, float] | None:
    """Return ``LOW..HIGH`` as a pair; anything else is a wrong call."""
    if text is None:
        return None
    try:
        return parse_range(text, option)
    except GlazeError as error:
        raise click.UsageError(str(error)) from None
