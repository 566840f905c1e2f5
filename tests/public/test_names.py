"""The public names: pinned with their signatures, documented, with an example that runs; none appears by accident."""

from __future__ import annotations

import ast
import doctest
import inspect
from operator import attrgetter
from pathlib import Path

import pytest

import glazecalc as gc
from tests.public.names import LIST, listing

FUNCTIONS = sorted(name for name in gc.__all__ if inspect.isfunction(getattr(gc, name)))
PICTURES = [f"plot.{name}" for name in gc.plot.__all__]


def test_names_and_signatures_are_those_of_the_list():
    """Written anew by ``python -m tests.public.names``: read the difference, and say it in the CHANGELOG."""
    assert listing() == LIST.read_text(encoding="utf-8")


def test_type_checkers_see_the_same_names():
    tree = ast.parse(Path(gc.__file__).read_text(encoding="utf-8"))
    (block,) = (node for node in tree.body if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING")
    imported = {
        name.asname: node.module for node in block.body if isinstance(node, ast.ImportFrom) for name in node.names
    }
    assert set(imported) == set(gc.__all__)
    for name, module in imported.items():
        home = getattr(__import__(str(module), fromlist=[name]), name)
        assert inspect.unwrap(getattr(gc, name)) is inspect.unwrap(home)


def test_dir_holds_the_public_names_and_the_version():
    assert set(dir(gc)) == {*gc.__all__, "__version__"}
    assert gc.__version__.count(".") == 2


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="unity_formla"):
        _ = gc.unity_formla  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", sorted(gc.__all__))
def test_every_public_name_has_a_docstring(name):
    value = getattr(gc, name)
    if callable(value):
        assert inspect.getdoc(value)


@pytest.mark.parametrize("name", [*FUNCTIONS, *PICTURES])
def test_every_public_function_has_an_example_that_runs(name, monkeypatch):
    monkeypatch.chdir(Path(__file__).parents[2] / "notebooks" / "studio")
    function = attrgetter(name)(gc)
    (found,) = doctest.DocTestFinder(recurse=False).find(function, name, globs={})
    assert found.examples, "no example"
    failed, tried = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS).run(found)
    assert (failed, tried) == (0, len(found.examples))


@pytest.mark.parametrize("name", [*FUNCTIONS, *PICTURES])
def test_every_public_function_says_what_it_takes_returns_and_raises(name):
    doc = inspect.getdoc(attrgetter(name)(gc)) or ""
    parameters = inspect.signature(attrgetter(name)(gc)).parameters
    for heading in ("Parameters", "Returns", "Raises") if parameters else ("Returns",):
        assert f"{heading}\n---" in doc or (
            heading == "Returns" and inspect.signature(attrgetter(name)(gc)).return_annotation == "None"
        ), heading
    for parameter in parameters:
        assert parameter in doc, parameter
