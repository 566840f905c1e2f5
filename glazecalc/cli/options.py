"""Options and habits that all commands share."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar, cast

import click

from glazecalc.cli.call import Output
from glazecalc.convention import CONVENTION_OPTIONS, Convention, ConventionName
from glazecalc.errors import ConeError, ConventionError
from glazecalc.heat import read_heat
from glazecalc.recipe import USES

__all__ = (
    "Renamed",
    "cone_option",
    "convention_option",
    "gathered",
    "materials_option",
    "output_options",
    "use_option",
)

F = TypeVar("F", bound=Callable[..., Any])


class Renamed(click.Option):
    """An option that is still read by its old spelling `was`; help and messages show the new one alone."""

    def __init__(self, *args: Any, was: str, **given: Any) -> None:
        super().__init__(*args, **given)
        self.was = was

    def add_to_parser(self, parser: Any, ctx: click.Context) -> None:
        """Tell the parser both spellings."""
        shown = self.opts
        try:
            self.opts = [*shown, self.was]
            super().add_to_parser(parser, ctx)
        finally:
            self.opts = shown


def _convention(_ctx: click.Context, _param: click.Parameter, names: tuple[str, ...]) -> Convention:
    try:
        return Convention.from_names(cast(tuple[ConventionName, ...], names))
    except ConventionError as error:
        raise click.UsageError(str(error)) from None


def _cone(_ctx: click.Context, _param: click.Parameter, text: str) -> str:
    try:
        if text:
            read_heat(text)
        return text
    except ConeError as error:
        raise click.UsageError(str(error)) from None


_FOLDERS = "A folder of your own material files; they take precedence over the supplied ones; may repeat."
_COUNTED = f"How the unity formula is counted; may repeat: {', '.join(CONVENTION_OPTIONS)}."

materials_option = click.option("--materials", multiple=True, metavar="DIR", help=_FOLDERS)
cone_option = click.option(
    "--cone",
    metavar="C",
    default="",
    callback=_cone,
    help="The cone, e.g. 6, 06, 5-6 or 10R, or 1240C; else the recipe's own.",
)
convention_option = click.option("--convention", multiple=True, metavar="NAME", callback=_convention, help=_COUNTED)
use_option = click.option("--use", type=click.Choice(USES), help="What the ware is for.")


def _html_file(_ctx: click.Context, _param: click.Parameter, path: str | None) -> str | None:
    if path is not None and not path.lower().endswith((".html", ".htm")):
        raise click.UsageError(f"--html '{path}' does not end in .html.")
    return path


def gathered(name: str, into: Callable[..., Any], *options: Callable[[F], F]) -> Callable[[F], F]:
    """Add `options` and give the command what they say as one value `name`, made by `into` from all of them by keyword."""

    def decorate(function: F) -> F:
        @wraps(function)
        def called(**given: Any) -> Any:
            taken = {key: given.pop(key) for key in keys}
            return function(**given, **{name: into(**taken)})

        before = {param.name for param in getattr(called, "__click_params__", ())}
        for option in reversed(options):
            option(called)
        keys = {param.name for param in called.__click_params__} - before  # type: ignore[attr-defined]
        return called  # type: ignore[return-value]

    return decorate


output_options = gathered(
    "output",
    Output,
    click.option(
        "--html",
        "html_file",
        metavar="FILE",
        callback=_html_file,
        help="Write the page to FILE.html too, to print or to open in a browser.",
    ),
    click.option("--replace", is_flag=True, help="Write over files that exist."),
    click.option("--json", "as_json", is_flag=True, help="Print the result as JSON, numbers unrounded."),
)
