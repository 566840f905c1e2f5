"""A verb of the command line called from within: the same words, parsing and errors; what it found is handed back instead of printed."""

from __future__ import annotations

import click

from glazecalc.cli.call import Found
from glazecalc.cli.verbs import VERBS, verbs
from glazecalc.errors import GlazeError
from glazecalc.plain_text import visible

__all__ = ("collected",)


def collected(verb: str, *words: str) -> Found:
    """Call one of the verbs with its words, and return what it found; nothing is printed, and no file is written.

    Words that come from outside go behind ``--``, or behind an option's ``=`` (``--use=plate``), so that none of them is read as an option. What a call would have
    written stands in `Found.writes`.

    Raises
    ------
    GlazeError
        Whatever the command line would say on standard error, without the way it was called.
    """
    found: list[Found] = []
    if verb not in VERBS or verb == "open":
        raise GlazeError(f"'{verb}' is not a command that can be called here.")
    try:
        verbs.main([verb, *words], prog_name="glazecalc", standalone_mode=False, obj=found.append)
    except click.ClickException as error:
        raise GlazeError(visible(error.format_message())) from None
    except (click.Abort, click.exceptions.Exit):
        pass
    except OSError as error:
        raise GlazeError(visible(f"{error.filename or 'a file'}: {error.strerror or error}.")) from None
    if not found:
        raise GlazeError(f"'{verb}' was called for its help alone.")
    return found[0]
