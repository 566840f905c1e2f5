"""What the reformulating commands share: options, lists of names, pairs NAME=NUMBER."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Any

import click

from glazecalc.cli.call import goes_with
from glazecalc.cli.options import Renamed, gathered
from glazecalc.cli.quantities import MASS
from glazecalc.errors import GlazeError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.target import parse_range

__all__ = ("NAMED_RANGE", "PAIR", "Keeping", "NameLists", "choice_options", "keeping_options", "with_shelves")

_LISTS = ("--without", "--without-oxide", "--also", "--only")

if TYPE_CHECKING:
    from glazecalc.recipe import Recipe
    from glazecalc.reformulate.answers import Outcome

    _ParamType = click.ParamType[Any]
else:
    _ParamType = click.ParamType


class _Pair(_ParamType):
    name = "NAME=NUMBER"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        name, _, text = str(value).rpartition("=")
        try:
            number = float(text)
        except ValueError:
            number = math.nan
        if not name.strip() or not math.isfinite(number):
            self.fail(f"'{value}' is not NAME=NUMBER.", param, ctx)
        return name.strip(), number


class _Range(_ParamType):
    name = "LOW..HIGH"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            return parse_range(value, param.opts[0] if param is not None else "the range")
        except GlazeError as error:
            self.fail(str(error), param, ctx)


class _NamedRange(_ParamType):
    name = "NAME=LOW..HIGH"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        name, _, ends = str(value).rpartition("=")
        if not name.strip():
            self.fail(f"'{value}' is not NAME=LOW..HIGH.", param, ctx)
        return name.strip(), RANGE.convert(ends, param, ctx)


PAIR, RANGE, NAMED_RANGE = _Pair(), _Range(), _NamedRange()


class NameLists(click.Command):
    """A command whose name options take one name, or several in a row once the file has been given."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Write ``--also a b c`` as ``--also a --also b --also c``."""
        flags = {name for p in self.params if isinstance(p, click.Option) and p.is_flag for name in p.opts} | {"--help"}
        spread: list[str] = []
        current, pending, file_seen = "", False, False  # the list that is open; an option that waits for its value
        for token in args:
            if pending:
                pending = False
            elif token.startswith("-"):
                name, equals, _ = token.partition("=")
                current = name if name in _LISTS else ""
                pending = token.startswith("--") and token not in flags and not equals
            elif current and file_seen:
                spread.append(current)
            else:
                file_seen = True
            spread.append(token)
        return super().parse_args(ctx, spread)


def with_shelves(choices: dict[str, Any], library: MaterialLibrary, own: Sequence[Material] = ()) -> dict[str, Any]:
    """Return what the options say as arguments of `substitute` and `match`, the files of stock and prices read."""
    from glazecalc.files.shelf import read_shelf

    stock, prices = choices["stock"], choices["prices"]
    if choices["batch_mass_g"] is not None and not stock:
        raise click.UsageError("--batch-mass goes with --stock: it is compared with the amounts there.")
    return choices | {
        "stock": read_shelf(stock, library, own=own, strict=True) if stock else (),
        "prices": read_shelf(prices, library, own=own) if prices else None,
    }


def _as_dict(_ctx: click.Context, _param: click.Parameter, pairs: tuple[tuple[str, float], ...]) -> dict[str, float]:
    return dict(pairs)


_SECOND_AIMS = click.Choice(("fewest-new", "loss", "cost"))
_names = partial(click.option, multiple=True, metavar="NAME")
_pairs = partial(click.option, multiple=True, type=PAIR, callback=_as_dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """Which answer is saved as a recipe, and where."""

    save: str | None
    answer: int | None

    def writes(self, outcome: Outcome) -> list[tuple[str, str]]:
        """Return the file and its text, if any is wanted; refuse an answer that is not there."""
        from glazecalc.files.recipes import recipe_text_for

        if self.save is None:
            goes_with("--save", answer=self.answer)
            return []
        number = self.answer or 1
        if number > len(outcome.answers):
            there = f"There {'is' if len(outcome.answers) == 1 else 'are'} {len(outcome.answers) or 'none'}."
            raise GlazeError(f"answer {number} is not there to be saved. {there}")
        return [(self.save, recipe_text_for(_as_weighed(outcome.answers[number - 1].recipe), self.save))]


def _as_weighed(recipe: Recipe) -> Recipe:
    """Return the recipe with its amounts to a hundredth per cent of the whole: more digits no scale shows."""
    decimals = max(0, 3 - math.floor(math.log10(recipe.all_in_total / 10)))
    lines = (replace(line, amount=round(line.amount, decimals)) for line in recipe.ingredients)
    return replace(recipe, ingredients=tuple(lines))


keeping_options = gathered(
    "keeping",
    Keeping,
    click.option("--save", metavar="FILE", help="Write an answer as a recipe: .txt, .yaml or .csv."),
    click.option("--answer", type=click.IntRange(1), metavar="N", help="The answer that --save writes [default: 1]."),
)
choice_options = gathered(  # each is named as the argument that it becomes
    "choices",
    dict,
    _names("--without", help="A material that must not be used; may repeat."),
    _names("--without-oxide", help="An oxide that must go, e.g. BaO, with all that brings it; may repeat."),
    _names("--also", help="A material you have besides those of the recipe; may repeat."),
    _names("--only", help="Use nothing but these; may repeat."),
    click.option("--stock", metavar="FILE", help="What is on your shelf: CSV with material,stock, or one name a line."),
    click.option(
        "--keep",
        multiple=True,
        metavar="OXIDES",
        help='Oxides and sums to hold exactly where possible, e.g. "K2O+Na2O,Al2O3,SiO2".',
    ),
    click.option("--max-materials", type=click.IntRange(1), help="Maximum number of base materials."),
    click.option(
        "--answers", type=click.IntRange(1, 20), default=5, show_default=True, help="Maximum number of answers."
    ),
    _pairs("--least", metavar="NAME=PARTS", help="Least parts of a material per 100 of base; may repeat."),
    _pairs("--most", metavar="NAME=PARTS", help="Most parts of a material per 100 of base; may repeat."),
    click.option(
        "--raw-clay",
        cls=Renamed,
        was="--clay",
        type=RANGE,
        help="Raw clay in parts per 100 of base; it keeps the slurry suspended.",
    ),
    click.option(
        "--parts-step", cls=Renamed, was="--step", type=float, metavar="PARTS", help="Round the parts to this step."
    ),
    click.option(
        "--prefer",
        type=_SECOND_AIMS,
        default="fewest-new",
        show_default=True,
        help="Preference among equally close batches.",
    ),
    click.option(
        "--prices",
        metavar="FILE",
        help="Your price list: CSV with material,pack,price,currency; the stock's by default.",
    ),
    click.option("--batch-mass", "batch_mass_g", type=MASS, metavar="G", help="With --stock: the total batch to mix."),
    _pairs("--tolerance", "tolerances", metavar="OXIDE=MOL", help="Deviation counted as one tolerance; may repeat."),
    click.option(
        "--time-limit",
        "time_limit_s",
        type=float,
        default=5.0,
        show_default=True,
        metavar="S",
        help="Time limit of the search, in seconds.",
    ),
)
