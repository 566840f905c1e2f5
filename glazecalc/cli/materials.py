"""``glazecalc materials``: list the library, or show one material."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.caution.material_hazards import hazards_of
from glazecalc.cli.call import goes_with, reply
from glazecalc.cli.options import json_option, materials_option
from glazecalc.errors import Notice
from glazecalc.files.materials import load_materials
from glazecalc.library import MaterialLibrary
from glazecalc.material import KINDS, Material
from glazecalc.show import pages

__all__ = ("command",)


@click.command("materials")
@click.argument("name", nargs=-1)
@click.option("--new", metavar="NAME", help="Print a sheet for a material of your own, to fill in from its bag.")
@click.option("--kind", metavar="KIND", help=f"With --new: {', '.join(KINDS)}.")
@materials_option
@click.option("--full", is_flag=True, help="The whole citation of its source.")
@json_option
def command(
    name: tuple[str, ...], new: str | None, kind: str | None, materials: tuple[str, ...], full: bool, as_json: bool
) -> None:
    """List the materials, show one with its analysis, source and hazards, or print a sheet for one of your own.

    \b
    Example:  glazecalc materials "potash feldspar"
              glazecalc materials --new "Potash feldspar, Horsley" > my_materials/horsley.yaml
    """
    if new is None:
        goes_with("--new", kind=kind)
    elif name:
        raise click.UsageError("give a NAME to show, or --new NAME for a sheet; not both.")
    if not name:
        goes_with("the name of a material", full=full)
    library = load_materials(*materials)
    if new is not None:
        from glazecalc.files.material_sheet import new_sheet

        sheet = new_sheet(new, library, kind=kind or "")
        reply(sheet, lambda: sheet.text, as_json=as_json, notices=())
        return
    value: Material | MaterialLibrary = library
    notices: tuple[Notice, ...] = ()
    if name:
        value, notices = library.find(" ".join(name))
    said = value.notices if isinstance(value, Material) else ()
    reply(
        _plain(value) if as_json else value,
        lambda: pages.body(value, full=True) if full else pages.body(value),
        as_json=as_json,
        notices=(*notices, *said, *library.notices),
    )


def _plain(value: Material | MaterialLibrary) -> dict[str, Any]:
    """Return the JSON of a material or a library, each material with its bench hazards and how they are known."""
    if isinstance(value, Material):
        return value.to_dict() | {"bench_hazards": hazards_of(value)}
    return {"materials": [_plain(material) for material in value.values()]}
