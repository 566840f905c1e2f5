"""A target for `match` in a YAML file."""

from __future__ import annotations

from pathlib import Path

from glazecalc.convention import Convention
from glazecalc.convert.unity import FiredAnalysis
from glazecalc.errors import Fault, FileFaultsError, GlazeError
from glazecalc.files.fields import FieldReader
from glazecalc.files.recipes import read_recipe
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import YamlValue, read_yaml
from glazecalc.optimise.goals import check_label, goal_terms, parse_range
from glazecalc.recipe import Recipe
from glazecalc.reformulate.match import Target, unity_target

__all__ = ("read_target",)

_FIELDS = ("name", "unity", "fired_analysis_percent", "colourants", "total", "notes", "source")


def read_target(path: str | Path, convention: Convention) -> Target | Recipe:
    """Read a target: a YAML file with `unity` or `fired_analysis_percent`, or a recipe file of any kind.

    Raises
    ------
    FileFaultsError
        With all faults of the file.
    """
    if str(path).lower().endswith((".yaml", ".yml")):
        node = read_yaml(read_text(path), str(path))
        if isinstance(node.value, dict) and ("unity" in node.value or "fired_analysis_percent" in node.value):
            return _target(node, str(path), convention)
    return read_recipe(path)


def _target(node: YamlValue, path: str, convention: Convention) -> Target:
    faults: list[Fault] = []
    reader = FieldReader(node, faults, "a target", _FIELDS)
    unity: dict[str, object] = {}
    if "unity" in reader.fields and "fired_analysis_percent" in reader.fields:
        reader.fault("fired_analysis_percent", "a target has a unity formula or a fired analysis, not both.")
    elif "fired_analysis_percent" in reader.fields:
        amounts = reader.numbers("fired_analysis_percent", low=0, high=100)
        try:
            unity = dict(unity_target(FiredAnalysis(amounts), convention)) if not faults else {}
        except GlazeError as error:
            reader.fault("fired_analysis_percent", error.message, error.hint)
    else:
        item = reader.fields["unity"]
        if not isinstance(item.value, dict):
            reader.fault("unity", "'unity' is a mapping of 'oxide: moles' lines.")
        else:
            for label, entry in item.value.items():
                line = item.key_lines[label]
                value: object = entry.value
                if isinstance(value, list):
                    value = [part.value for part in value]
                elif isinstance(value, dict):
                    faults.append(
                        Fault(
                            line, f"'{label}' is a number or a range; a mapping was found.", "Write 3.4, or 3.2..3.6."
                        )
                    )
                    continue
                try:
                    _check_entry(label, value)
                    unity[label] = value
                except GlazeError as error:
                    faults.append(Fault(line, error.message, error.hint))
    colourants = reader.numbers("colourants", low=0, high=1000)
    total = reader.number("total", low=1e-6, high=1e9)
    if not faults:
        try:
            goal_terms(unity, convention=convention)
        except GlazeError as error:
            reader.fault("unity", error.message, error.hint)
    if faults:
        raise FileFaultsError(path, faults)
    return Target(
        name=reader.text("name"), unity=unity, colourants=colourants, total=total if total is not None else 100.0
    )


def _check_entry(label: str, value: object) -> None:
    for part in label.split(":"):
        check_label(part.strip())
    parse_range(value, label)
