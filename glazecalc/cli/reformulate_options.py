"""What the reformulating commands share: options, lists of names, pairs NAME=NUMBER."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from glazecalc.cli.options import gathered
from glazecalc.cli.quantities import MASS
from glazecalc.errors import GlazeError
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.target import parse_range

__all__ = ("NAMED_RANGE", "PAIR", "RANGE", "Choices", "NameLists", "choice_options")

_LISTS = ("--without", "--also", "--only")

if TYPE_CHECKING:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What may be used and what the batch may look like, as the options say; field names are those of the options."""

    without: tuple[str, ...]
    also: tuple[str, ...]
    only: tuple[str, ...]
    stock: str | None
    keep: tuple[str, ...]
    max_materials: int | None
    answers: int
    least: tuple[tuple[str, float], ...]
    most: tuple[tuple[str, float], ...]
    raw_clay: tuple[float, float] | None
    parts_step: float | None
    prefer: str
    prices: str | None
    batch_mass: float | None
    tolerance: tuple[tuple[str, float], ...]
    time_limit: float

    def arguments(self, library: MaterialLibrary, own: Sequence[Material] = ()) -> dict[str, Any]:
        """Return the arguments of `substitute` and `match`, the files read.

        Raises
        ------
        FileFaultsError
            With all faults of a file.
        """
        from glazecalc.files.shelf import read_shelf

        if self.batch_mass is not None and not self.stock:
            raise click.UsageError("--batch-mass goes with --stock: it is held against the amounts there.")
        shelf = read_shelf(self.stock, library, own=own, strict=True) if self.stock else ()
        return {
            "without": self.without,
            "also": self.also,
            "only": self.only,
            "stock": shelf,
            "keep": self.keep,
            "max_materials": self.max_materials,
            "answers": self.answers,
            "least": dict(self.least),
            "most": dict(self.most),
            "raw_clay": self.raw_clay,
            "parts_step": self.parts_step,
            "prefer": self.prefer,
            "prices": read_shelf(self.prices, library, own=own) if self.prices else None,
            "batch_mass_g": self.batch_mass,
            "tolerances": dict(self.tolerance),
            "time_limit_s": self.time_limit,
        }


choice_options = gathered(
    "choices",
    Choices,
    click.option("--without", multiple=True, metavar="NAME", help="A material that must not be used; may repeat."),
    click.option(
        "--also", multiple=True, metavar="NAME", help="A material at hand besides those of the recipe; may repeat."
    ),
    click.option("--only", multiple=True, metavar="NAME", help="Use nothing but these; may repeat."),
    click.option("--stock", metavar="FILE", help="What is on your shelf: CSV with material,stock, or one name a line."),
    click.option(
        "--keep", multiple=True, metavar="OXIDES", help='Hold exactly where possible, e.g. "K2O+Na2O,Al2O3,SiO2".'
    ),
    click.option("--max-materials", type=click.IntRange(1), help="At most so many base lines."),
    click.option(
        "--answers", type=click.IntRange(1, 20), default=5, show_default=True, help="At most so many answers."
    ),
    click.option(
        "--least",
        multiple=True,
        type=PAIR,
        metavar="NAME=PARTS",
        help="At least so many parts per 100 of base; may repeat.",
    ),
    click.option(
        "--most",
        multiple=True,
        type=PAIR,
        metavar="NAME=PARTS",
        help="At most so many parts per 100 of base; may repeat.",
    ),
    click.option(
        "--raw-clay", type=RANGE, metavar="LOW..HIGH", help="Raw clay in parts per 100 of base, for suspension."
    ),
    click.option("--parts-step", type=float, metavar="PARTS", help="Round the parts to this step."),
    click.option(
        "--prefer",
        type=click.Choice(("fewest-new", "loss", "cost")),
        default="fewest-new",
        show_default=True,
        help="Second aim.",
    ),
    click.option(
        "--prices", metavar="FILE", help="Prices as CSV: material,pack,price,currency; the stock's by default."
    ),
    click.option(
        "--batch-mass",
        type=MASS,
        metavar="G",
        help="With --stock: the all-in batch to mix, held against the amounts there.",
    ),
    click.option(
        "--tolerance", multiple=True, type=PAIR, metavar="OXIDE=MOL", help="A deviation that weighs 1; may repeat."
    ),
    click.option(
        "--time-limit", type=float, default=5.0, show_default=True, metavar="S", help="For the search of all answers."
    ),
)
