"""The verbs of the command line, each loaded only when it is called, and what an error becomes."""

from __future__ import annotations

import importlib
import io
import os
import sys

import click

from glazecalc.errors import ArgumentError, GlazeError, did_you_mean
from glazecalc.plain_text import visible

__all__ = ("VERBS", "command_of", "run")

# verb -> one line for the list; the module of that name holds its `command`, but for those elsewhere
VERBS = {
    "check": "A recipe's chemistry, estimates and cautions.",
    "compare": "Two recipes side by side, with their differences.",
    "materials": "List the materials, or show one with its source.",
    "scale": "A weighing list for a weight, a bucket, an order or what is left.",
    "slurry": "The dry glaze in a slurry, and what to add.",
    "mend": "What to add after a weighing mistake.",
    "cost": "The cost of a batch, a litre and a piece; what runs out first.",
    "size": "Shrinkage, how large to throw, clay weight, absorption.",
    "substitute": "Batches without a material that keep the unity formula.",
    "match": "A batch for a target formula, analysis or recipe.",
    "calibrate": "Your own firings on one body, and where a new glaze lies.",
    "nudge": "The smallest change of a recipe for what you want of it.",
    "blend": "Line blends, triaxials and progressions, dry or wet.",
    "cone": "Temperature for a cone, cone for a temperature.",
    "lab": "Laboratory results compared with the limits of each place.",
    "open": "Your studio's folder as pages in the browser.",
}
_ELSEWHERE = {"open": "glazecalc.workbench.command"}  # a room above this one: looked up when it is called


def command_of(verb: str) -> click.Command:
    """Return the command of one of `VERBS`."""
    command: click.Command = importlib.import_module(_ELSEWHERE.get(verb, f"glazecalc.cli.{verb}")).command
    return command


class _Verbs(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        return command_of(cmd_name) if cmd_name in VERBS else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in VERBS:
            hint = did_you_mean(args[0], VERBS) or f"Known: {', '.join(VERBS)}."
            raise click.UsageError(f"'{args[0]}' is not a command. {hint}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(VERBS.items()))


@click.group(cls=_Verbs, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="glazecalc", prog_name="glazecalc")
def verbs() -> None:
    """The chemistry of ceramic glazes, from a batch recipe to what to look at before mixing.

    \b
    Example:  glazecalc check harbour-black.txt --use plate

    Results go to standard output with their notices at the foot, errors to standard error. Exit 0: done; 1: the input cannot be used; 2: wrong usage.
    """


def run() -> int:
    """Run the command line and return its exit code; an error of ours is one message on standard error."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    standard_output = sys.stdout
    try:
        verbs.main(standalone_mode=False, prog_name="glazecalc")
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.Abort:
        click.echo("stopped.", err=True)
        return 1
    except click.ClickException as error:
        told = io.StringIO()
        error.show(told)
        click.echo(visible(told.getvalue()), nl=False, err=True)
        return 2
    except GlazeError as error:
        click.echo(f"glazecalc: {error}", err=True)
        return 2 if isinstance(error, ArgumentError) else 1
    except OSError as error:
        _drop_output()
        click.echo(visible(f"glazecalc: {error.filename or 'standard output'}: {error.strerror or error}."), err=True)
        return 1
    except SystemExit:
        if sys.stdout is standard_output:
            raise
        return 0  # click has wrapped it: whoever read our output has enough, and it ends quietly
    return 0


def _drop_output() -> None:
    """Send what standard output still holds nowhere, so that the interpreter's last flush does not fail again."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (AttributeError, OSError, ValueError):
        return
