"""``glazecalc materials``: list the library, or show one material."""

from __future__ import annotations

from typing import Any

import click

from glazecalc.caution.material_hazards import hazards_of
from glazecalc.cli.call import Output, goes_with, reply
from glazecalc.cli.options import materials_option, output_options
from glazecalc.errors import Notice
from glazecalc.files.materials import load_materials
from glazecalc.library import MaterialLibrary
from glazecalc.material import KINDS, Material

__all__ = ("command",)


@click.command("materials")
@click.argument("name", nargs=-1)
@click.option("--new", metavar="NAME", help="Print a sheet for a material of your own, to fill in from its bag.")
@click.option("--kind", metavar="KIND", help=f"With --new: {', '.join(KINDS)}.")
@materials_option
@click.option("--full", is_flag=True, help="The whole citation of its source.")
@output_options
def command(
    name: tuple[str, ...], new: str | None, kind: str | None, materials: tuple[str, ...], full: bool, output: Output
) -> None:
    """List the materials, show one with its analysis, source and hazards, or print a sheet for one of your own.

    \b
    Example:  glazecalc materials "potash feldspar"
              glazecalc materials --new "Potash feldspar, Horsley" > my_materials/horsley.yaml
    """
    if new is None:
        goes_with("--new", kind=kind)
    elif output.html_file is not None:
        raise click.UsageError("--new prints a sheet to fill in; --html goes with the list, or with a NAME.")
    elif name:
        raise click.UsageError("give a NAME to show, or --new NAME for a sheet; not both.")
    if not name:
        goes_with("the name of a material", full=full)
    output.goes_to()
    library = load_materials(*materials)
    if new is not None:
        from glazecalc.files.material_sheet import new_sheet

        sheet = new_sheet(new, library, kind=kind or "")
        reply(sheet, output=output, notices=())
        return
    value: Material | MaterialLibrary = library
    notices: tuple[Notice, ...] = ()
    if name:
        value, notices = library.find(" ".join(name))
    said = value.notices if isinstance(value, Material) else ()
    reply(
        value,
        output=output,
        more=_hazards(value) if output.as_json else None,
        notices=(*notices, *said, *library.notices),
        read=materials,
        options={"full": True} if full else {},
    )


def _hazards(value: Material | MaterialLibrary) -> dict[str, Any]:
    """Return what JSON says beside the fields: the bench hazards of each material and how they are known."""
    if isinstance(value, Material):
        return {"bench_hazards": hazards_of(value)}
    return {"materials": [material.to_dict() | _hazards(material) for material in value.values()]}
