"""Reading a clay body from YAML."""

from __future__ import annotations

from pathlib import Path

from glazecalc.body import ClayBody
from glazecalc.cones import parse_cone
from glazecalc.errors import ConeError, Fault, FileFaultsError
from glazecalc.files.fields import FieldReader, check_number
from glazecalc.files.text_file import read_text
from glazecalc.files.yaml_events import read_yaml

__all__ = ("read_body",)

_FIELDS = (
    "name",
    "cone",
    "absorption_percent",
    "shrinkage_percent",
    "expansion_1e6_per_k",
    "expansion_range_c",
    "source",
    "notes",
)


def read_body(path: str | Path) -> ClayBody:
    """Read a clay body file; `name` is required.

    Raises
    ------
    FileFaultsError
        With every fault.
    """
    faults: list[Fault] = []
    reader = FieldReader(read_yaml(read_text(path), str(path)), faults, "a clay body", _FIELDS)
    cone = reader.text("cone")
    if cone:
        try:
            cone = str(parse_cone(cone))
        except ConeError as error:
            reader.fault("cone", str(error))
    ends: tuple[float, float] | None = None
    item = reader.fields.get("expansion_range_c")
    if item is not None:
        values = (
            [check_number(v, "expansion_range_c", faults, low=-273, high=1500) for v in item.value]
            if isinstance(item.value, list)
            else []
        )
        if len(values) == 2 and values[0] is not None and values[1] is not None and values[0] < values[1]:
            ends = (values[0], values[1])
        else:
            reader.fault(
                "expansion_range_c",
                "the range is two temperatures in deg C, the lower first.",
                "Write it like [20, 500].",
            )
    expansion = reader.number("expansion_1e6_per_k", low=0, high=30)
    if expansion is not None and ends is None and not faults:
        reader.fault(
            "expansion_1e6_per_k",
            "an expansion means nothing without its temperature range.",
            "Add expansion_range_c: [20, 500].",
        )
    body = ClayBody(
        name=reader.text("name", required=True), cone=cone, absorption_percent=reader.number("absorption_percent", low=0, high=60),
        shrinkage_percent=reader.number("shrinkage_percent", low=0, high=40), expansion_1e6_per_k=expansion, expansion_range_c=ends,
        source=reader.text("source"), notes="\n".join(reader.texts("notes")),
    )  # fmt: skip
    if faults:
        raise FileFaultsError(str(path), faults)
    return body
