"""A target for `match` in a YAML file."""

from __future__ import annotations

from pathlib import Path

from glazecalc.errors import Fault, GlazeError
from glazecalc.files.fields import FieldReader
from glazecalc.files.recipes import parse_recipe, read_recipe
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.recipe import Recipe
from glazecalc.target import Target, check_entry

__all__ = ("read_target",)

_READ = ("unity", "fired_analysis_percent", "colourants", "total")


def read_target(path: str | Path) -> Target | Recipe:
    """Read a target: a YAML file with `unity` or `fired_analysis_percent`, or a recipe file of any kind.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Target or Recipe
        As `match` takes them.

    Raises
    ------
    FileFaultsError
        With every fault and its line.

    Examples
    --------
    >>> import glazecalc as gc, pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = pathlib.Path(folder, "clear.yaml")
    ...     _ = path.write_text("name: Clear\\nunity: {CaO: 0.7, K2O+Na2O: 0.3, SiO2: 3.2..3.6}\\n")
    ...     target = gc.read_target(path)
    >>> target.name, dict(target.unity)
    ('Clear', {'CaO': 0.7, 'K2O+Na2O': 0.3, 'SiO2': '3.2..3.6'})
    """
    if str(path).lower().endswith((".yaml", ".yml")):
        text = read_text(path)
        node = read_yaml(text, str(path))
        if isinstance(node.value, dict) and ("unity" in node.value or "fired_analysis_percent" in node.value):
            return _target(node, str(path))
        return parse_recipe(text, path)
    return read_recipe(path)


def _target(node: YamlValue, path: str) -> Target:
    reader = FieldReader(node, "a target", ("name", *_READ, "notes", "source"))
    unity = reader.fields.get("unity")
    for label, entry in unity.value.items() if unity is not None and isinstance(unity.value, dict) else ():
        try:
            check_entry(label, entry.plain())
        except GlazeError as error:
            reader.faults.append(Fault(entry.line, error.message, error.hint))
    return reader.build(Target, path, **reader.given(("name",), _READ), path=path)
