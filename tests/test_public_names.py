"""The public names: each loads, each is documented, and none appears by accident."""

from __future__ import annotations

import inspect

import glazecalc as gc


def test_every_public_name_loads_and_has_a_docstring():
    for name in gc.__all__:
        value = getattr(gc, name)
        assert inspect.getdoc(value), name
        if inspect.isfunction(value):
            doc = inspect.getdoc(value) or ""
            assert "Return" in doc or "Read" in doc or "Write" in doc or "Parameters" in doc, name


def test_the_contract_names_are_there():
    for name in (
        "load_materials", "read_recipe", "unity_formula", "fired_analysis", "mole_percent", "unity_table", "expansion", "check", "scale", "fill",
    ):  # fmt: skip
        assert name in gc.__all__


def test_dir_holds_the_public_names_and_the_version():
    assert set(dir(gc)) == {*gc.__all__, "__version__"}
    assert gc.__version__.count(".") == 2
