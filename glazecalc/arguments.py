"""The door of the package: each argument of a public function is held against its annotation.

What is of the wrong kind is refused by the name of the argument, with the call to write.
"""

from __future__ import annotations

import builtins
import math
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import cache, wraps
from inspect import Parameter, Signature, signature, unwrap
from numbers import Integral, Real
from os import PathLike
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, NamedTuple, TypeVar, Union, get_args, get_origin, get_type_hints

from glazecalc.errors import ArgumentError, CompositionError
from glazecalc.field_checks import LARGEST

__all__ = ("checked", "the_names")

F = TypeVar("F", bound=Callable[..., Any])
_UNFIT = object()
_NUMBERS = (Real, Decimal)
_LOOKED_AT = frozenset((float, int, str, Decimal, NoneType))  # numbers may be too large, a text may be a list of one
_PLAIN = {float: "a number", int: "a whole number", bool: "True or False", str: "a text", Path: "a path"}

# What was expected, what was given (by the names of their classes), and the mend; the first that fits holds.
_SWAPPED = "The recipe comes first, then the materials."
_MENDS = (
    ("CheckReport", "Recipe", "Check it first: gc.check(recipe, materials)."),
    ("Composition", "Recipe", "Convert it first: gc.mole_percent(recipe, materials)."),
    ("DataFrame", "RecipeCollection", "Give its parts: recipes.parts()."),
    ("Series", "DataFrame", "Give one row: table.loc[name]."),
    ("Recipe", "MaterialLibrary", _SWAPPED),
    ("MaterialLibrary", "Recipe", _SWAPPED),
    ("Batch", "Recipe", "Write gc.resolve(recipe, materials)."),
    ("Convention", "str", "Write gc.Convention.from_names([{given!r}])."),
    ("Composition", "str", "Read and convert it first: gc.mole_percent(gc.read_recipe({given!r}), materials)."),
    ("Target", "str", "Read it first: gc.read_target({given!r})."),
    ("Recipe", "str", "Read it first: gc.read_recipe({given!r})."),
    ("MaterialLibrary", "str", "Read it first: gc.load_materials({given!r})."),
    ("ClayBody", "str", "Read it first: gc.read_body({given!r})."),
    ("ReleaseResult", "str", "Read it first: gc.read_release_results({given!r})."),
    ("Firing", "str", "Read it first: gc.read_firings({given!r})."),
    ("Shelf", "str", "Read it first: gc.read_shelf({given!r}, materials)."),
    ("float", "str", "Give the number alone; the name of the argument says its unit."),
    ("Recipe", "object", "Write gc.Recipe.from_parts('Harbour Black', {{'whiting': 20, 'silica': 30}})."),
    ("MaterialLibrary", "object", "Write gc.load_materials(), or gc.MaterialLibrary([material, ...])."),
    ("Convention", "object", "Write gc.Convention(iron_as_feo=True)."),
    ("Bar", "object", "Write bars=[gc.Bar(wet=100, dry=93.5, fired=87.6)]."),
    ("GlazeNeed", "object", "Write need=gc.need_from_gains(60, [61, 66, 62])."),
    ("SlurrySample", "object", "Write sample=gc.SlurrySample(volume_ml=500, mass_g=735)."),
    ("Shelf", "object", "Write shelf=gc.read_shelf('shelf.csv', materials)."),
    ("ScaledBatch", "object", "Write gc.scale(recipe, materials, all_in_g=5000)."),
    ("Composition", "object", "Write gc.mole_percent(recipe, materials)."),
)


def the_names(given: str | Iterable[str]) -> tuple[str, ...]:
    """Return a list of names; a bare text is one name."""
    return (given,) if isinstance(given, str) else tuple(given)


def checked(function: F) -> F:
    """Return a public function that holds its arguments against its annotations before it runs.

    A bare text for a list of texts is one name, a list for a pair is a pair, and None for what is empty by default is
    the default. Which words a text may be, and which range a number, is for the function to say.
    """

    @wraps(function)
    def door(*args: Any, **kwargs: Any) -> Any:
        form = _form(function)
        named = form.by_name(args, kwargs)
        try:
            bound = None if named else form.signature.bind(*args, **kwargs)
        except TypeError as error:
            shown = f"{function.__name__}({', '.join(form.signature.parameters)})"
            raise ArgumentError(f"{function.__name__}: {error}.", f"It is called as {shown}.") from None
        arguments = bound.arguments if bound else named
        for name, given in arguments.items():
            if type(given) in form.classes[name]:
                continue
            parameter = form.signature.parameters[name]
            if given is None and parameter.default in ("", ()):
                arguments[name] = parameter.default
            elif parameter.kind is Parameter.VAR_POSITIONAL:
                arguments[name] = tuple(_argument(name, item, form.kinds[name]) for item in given)
            elif name != "cone":  # read as potters write it: a number will do
                arguments[name] = _argument(name, given, form.kinds[name])
        return function(*bound.args, **bound.kwargs) if bound else function(**arguments)

    door.__module__ = "glazecalc"  # where it is found again, by pickle too
    return door  # type: ignore[return-value]


class _Form(NamedTuple):
    """How a function is called: its annotations as types (`kinds`), and which `classes` of values need no second look."""

    signature: Signature
    kinds: dict[str, Any]
    classes: dict[str, frozenset[Any]]
    in_order: tuple[str, ...]
    named: frozenset[str]
    needed: frozenset[str]

    def by_name(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> dict[str, Any]:
        """Return each argument under its name; nothing where that is for ``bind`` to say, which takes its time."""
        given = dict(zip(self.in_order, args, strict=False))
        twice, strange = given.keys() & kwargs.keys(), kwargs.keys() - self.named
        given |= kwargs
        return given if len(args) <= len(self.in_order) and not (twice or strange or self.needed - given.keys()) else {}


@cache
def _form(function: Callable[..., Any]) -> _Form:
    """Return how a function is called; a class that is not loaded is known by its name."""
    inner, form = unwrap(function), signature(function)
    kinds, each = get_type_hints(inner, localns=_Names(inner.__globals__)), form.parameters.values()
    in_order = tuple(one.name for one in each if one.kind is Parameter.POSITIONAL_OR_KEYWORD)
    named = frozenset((*in_order, *(one.name for one in each if one.kind is Parameter.KEYWORD_ONLY)))
    # what takes any number of arguments is always needed, and never named: such a call is bound
    needed = frozenset(one.name for one in each if one.default is Parameter.empty)
    classes = {
        name: frozenset(one for one in _options(kind) if isinstance(one, type)) - _LOOKED_AT
        for name, kind in kinds.items()
    }
    return _Form(form, kinds, classes, in_order, named, needed)


def _options(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in (Union, UnionType) else (kind,)


class _Names(dict[str, Any]):
    """The names that annotations use: those of the module, and a stand-in for what it imports for type checkers only."""

    def __missing__(self, name: str) -> Any:
        return getattr(builtins, name, None) or _Named(name, (), {})


class _Named(type):
    """A class that is not loaded; its instances are told by the name of their class."""

    def __getattr__(cls, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return _Named(name, (), {})  # pd.DataFrame where pandas is not loaded

    def __getitem__(cls, _: object) -> Any:
        return cls

    def __instancecheck__(cls, value: object) -> bool:
        return any(known.__name__ == cls.__name__ for known in type(value).__mro__)


def _argument(name: str, given: object, kind: Any) -> Any:
    taken = _taken(kind, given)
    if taken is not _UNFIT:
        if _too_large(taken):
            raise CompositionError(
                f"the argument '{name}' holds a number above {LARGEST:g}; that is too large to be plausible."
            )
        return taken
    shown = repr(given)
    if isinstance(given, dict):
        wrong = [f"{key!r}: {item!r}" for key, item in given.items() if _taken(kind, {key: item}) is _UNFIT]
        shown = f"{{{', '.join(wrong)}}}" if wrong else shown
    if len(shown) > 60:
        shown = f"of type {type(given).__name__}"
    raise ArgumentError(f"the argument '{name}' is {shown}; {_words(kind)} was expected.", _mend(given, kind))


def _too_large(given: Any) -> bool:
    """Return True where what was given is, or holds, a number that is finite but larger than any that is meant."""
    if isinstance(given, dict | tuple):
        return any(_too_large(item) for item in (given.values() if isinstance(given, dict) else given))
    if not isinstance(given, int | float | Decimal):
        return False
    size: Any = abs(given)
    return bool(LARGEST < size < math.inf)


def _taken(kind: Any, given: Any) -> Any:
    """Return what is given, in a form that `kind` describes, or `_UNFIT`."""
    if type(given) is kind:
        return given
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return next((taken for option in inside if (taken := _taken(option, given)) is not _UNFIT), _UNFIT)
    if origin is None or origin is Literal or origin is Callable:
        if not _is_one(kind, origin, given):
            return _UNFIT
        return float(given) if kind is float and isinstance(given, Decimal) else given
    if origin.__name__ == "ndarray":
        return given if isinstance(given, origin) and given.dtype.kind in "fiu" else _UNFIT
    if issubclass(origin, Mapping):
        keys, values = inside
        fits = isinstance(given, Mapping) and all(
            (type(key) is keys or _taken(keys, key) is not _UNFIT)
            and (type(value) is values or _taken(values, value) is not _UNFIT)
            for key, value in given.items()
        )
        return given if fits else _UNFIT
    if isinstance(given, str):
        return (given,) if _taken(inside[0], given) is not _UNFIT else _UNFIT
    if not isinstance(given, Iterable) or isinstance(given, Mapping | bytes):
        return _UNFIT
    items = tuple(given)
    wanted = inside if origin is tuple and Ellipsis not in inside else (inside[0],) * len(items)
    taken = tuple(_taken(one, item) for one, item in zip(wanted, items, strict=False))
    return taken if len(wanted) == len(items) and _UNFIT not in taken else _UNFIT


def _is_one(kind: Any, origin: Any, given: object) -> bool:
    if origin is Literal:
        return isinstance(given, str)
    if origin is not None:
        return callable(given)
    if kind is float:
        return isinstance(given, _NUMBERS) and not isinstance(given, bool)
    if kind is int:
        return isinstance(given, Integral) and not isinstance(given, bool)
    return kind is Any or isinstance(given, PathLike if kind is Path else kind)


def _words(kind: Any) -> str:
    """Return a type in words: ``a Recipe or a mapping of text to number``."""
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return " or ".join(dict.fromkeys(_words(option) for option in inside if option is not NoneType))
    if origin is Literal or kind in _PLAIN:
        return _PLAIN.get(kind, "a text")
    if origin is None or origin is Callable:
        name = getattr(kind, "__name__", "function")
        return f"{'an' if name[0] in 'AEIOU' else 'a'} {name}"
    if origin.__name__ == "ndarray":
        return "an array of numbers"
    one = [_words(item).removeprefix("a ").removeprefix("an ") for item in inside if item is not Ellipsis]
    if issubclass(origin, Mapping):
        return f"a mapping of {one[0]} to {one[1]}"
    return f"a pair of {one[0]}s" if origin is tuple and len(one) == 2 else f"a list of {one[0]}"


def _mend(given: object, kind: Any) -> str:
    """Return the call to write, where the mistake is a common one."""
    options = _options(kind)
    listed = [one for option in options for one in get_args(option) if one not in tuple(_PLAIN)]
    expected = {getattr(one, "__name__", "") for one in (*options, *listed)}
    given = str(given) if isinstance(given, PathLike) else given
    kinds = {known.__name__ for known in type(given).__mro__}
    return next((mend.format(given=given) for wanted, met, mend in _MENDS if wanted in expected and met in kinds), "")
