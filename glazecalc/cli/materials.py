"""``glazecalc materials``: list the library, or show one material."""

from __future__ import annotations

import click

from glazecalc.cli.options import echo_json, echo_notices, json_option, library_from, materials_option

__all__ = ("command",)


@click.command("materials")
@click.argument("name", nargs=-1)
@materials_option
@json_option
def command(name: tuple[str, ...], materials: tuple[str, ...], *, as_json: bool) -> None:
    """List the materials, or show one with its analysis, source and hazards.

    \b
    Example:  glazecalc materials "potash feldspar"
    """
    from glazecalc.show.material import material_dict, material_page, materials_page

    library = library_from(materials)
    if name:
        material, notices = library.find(" ".join(name))
        if as_json:
            echo_json(material_dict(material))
        else:
            click.echo(material_page(material))
        echo_notices(notices)
    elif as_json:
        echo_json({"materials": [material_dict(material) for material in library.values()]})
    else:
        click.echo(materials_page(library.values()))
    echo_notices(library.notices)
