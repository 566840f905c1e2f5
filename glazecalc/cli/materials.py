"""``glazecalc materials``: list the library, or show one material."""

from __future__ import annotations

import click

from glazecalc.cli.call import reply
from glazecalc.cli.options import json_option, materials_option
from glazecalc.errors import Notice
from glazecalc.files.materials import load_materials
from glazecalc.library import MaterialLibrary
from glazecalc.material import Material
from glazecalc.show.notices import notice_lines

__all__ = ("command",)


@click.command("materials")
@click.argument("name", nargs=-1)
@materials_option
@json_option
def command(name: tuple[str, ...], materials: tuple[str, ...], as_json: bool) -> None:
    """List the materials, or show one with its analysis, source and hazards.

    \b
    Example:  glazecalc materials "potash feldspar"
    """
    library = load_materials(*materials)
    value: Material | MaterialLibrary = library
    notices: tuple[Notice, ...] = ()
    if name:
        value, notices = library.find(" ".join(name))
    reply(
        value,
        lambda: "\n".join([str(value), *notice_lines(notices)]),
        as_json=as_json,
        notices=(*notices, *library.notices),
    )
