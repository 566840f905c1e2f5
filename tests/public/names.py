"""The public names with their signatures, as a list to read; written anew by ``python -m tests.public.names``."""

from __future__ import annotations

import dataclasses
import inspect
from pathlib import Path

import glazecalc as gc

LIST = Path(__file__).parent / "names.txt"


def listing() -> str:
    """Return one entry a public name: its signature, and the public attributes of a class."""
    entries = []
    for name in sorted(gc.__all__, key=lambda name: (name.lower(), name)):
        value = getattr(gc, name)
        if inspect.isclass(value):
            entries.append(f"class {name}{_signature(value)}")
            entries += [f"    {attribute}" for attribute in _attributes(value)]
        elif inspect.ismodule(value):
            entries.append(f"{name}: the module of pictures")
            entries += [f"    {picture}{_signature(getattr(value, picture))}" for picture in sorted(value.__all__)]
        elif callable(value):
            entries.append(f"{name}{_signature(value)}")
        else:
            entries.append(f"{name}: {type(value).__name__}")
    return "\n".join(entries) + "\n"


def _signature(value: object) -> str:
    try:
        return str(inspect.signature(value))  # type: ignore[arg-type]
    except ValueError:  # a class whose making is the standard library's
        return "(...)"


def _attributes(value: type) -> list[str]:
    fields = {field.name for field in dataclasses.fields(value)} if dataclasses.is_dataclass(value) else set()
    found = []
    for name in sorted(name for name in vars(value) if not name.startswith("_")):
        member = inspect.getattr_static(value, name)
        if isinstance(member, (classmethod, staticmethod)):
            found.append(f"{name}{_signature(getattr(value, name))}")
        elif inspect.isfunction(member):
            found.append(f"{name}{_signature(member)}")
        elif name not in fields:
            found.append(name)
    return found


if __name__ == "__main__":
    LIST.write_text(listing(), encoding="utf-8")
