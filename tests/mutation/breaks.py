"""Small breaks of a module, one at a time: what a slip of the hand could make of it, found in its syntax tree."""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

__all__ = ("Break", "breaks")

_COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_COMPUTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Mod: ast.Add,
}  # fmt: skip

_EITHER_WAY = ("max", "min")  # calls whose arguments may stand in any order


@dataclass(frozen=True)
class Break:
    """One break: its line, the code before and after, and the whole module with it."""

    line: int
    before: str
    after: str
    module: str


def breaks(source: str) -> Iterator[Break]:
    """Yield every break of a module; annotations, docstrings and the names at its head are let be."""
    tree = ast.parse(source)
    skipped = set(_let_be(tree))
    for number, node in enumerate(ast.walk(tree)):
        if id(node) in skipped:
            continue
        for change in _changes(node):
            broken = copy.deepcopy(tree)
            twin = next(found for at, found in enumerate(ast.walk(broken)) if at == number)
            before = ast.unparse(twin)
            change(twin)
            ast.fix_missing_locations(broken)
            yield Break(getattr(node, "lineno", 0), _short(before), _short(ast.unparse(twin)), ast.unparse(broken))


def _short(code: str) -> str:
    return " ".join(code.split())[:110]


def _let_be(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        spared: list[ast.AST | None] = []
        if isinstance(node, (ast.arg, ast.AnnAssign)):
            spared.append(node.annotation)
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            spared += [node.returns, *node.decorator_list]
        if isinstance(node, ast.ClassDef):
            spared += node.decorator_list
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
            spared.append(node.value)
        if isinstance(node, ast.AnnAssign) and getattr(node.target, "id", "") in ("JSON", "PAGE"):
            spared.append(node.value)
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING":
            spared.append(node)
        for one in spared:
            yield from (id(inner) for inner in ast.walk(one)) if one is not None else ()


def _changes(node: ast.AST) -> Iterator[Callable[..., None]]:
    """Yield what may go wrong with a node, as changes of its twin in a copy of the tree."""
    match node:
        case ast.Compare(ops=[op]) if type(op) in _COMPARED:
            yield lambda twin: setattr(twin, "ops", [_COMPARED[type(op)]()])
        case ast.BinOp(op=op, left=left, right=right) if type(op) in _COMPUTED and not _text(left) and not _text(right):
            yield lambda twin: setattr(twin, "op", _COMPUTED[type(op)]())
        case ast.BoolOp(op=op):
            yield lambda twin: setattr(twin, "op", ast.Or() if isinstance(op, ast.And) else ast.And())
        case ast.UnaryOp(op=ast.Not()):
            yield _without_not
        case ast.Constant(value=bool() as value):
            yield lambda twin: setattr(twin, "value", not value)
        case ast.Constant(value=int() | float() as value):
            yield lambda twin: setattr(twin, "value", value + 1)
            if value:
                yield lambda twin: setattr(twin, "value", value * 0.9 if isinstance(value, float) else value - 1)
        case ast.Call(func=func, args=[ast.expr() as first, second, *_]) if getattr(func, "id", "") not in _EITHER_WAY:
            if not any(isinstance(one, ast.Starred) for one in (first, second)):
                yield _swapped
        case ast.If(body=[*_, ast.Return() | ast.Raise() | ast.Continue()]):
            yield lambda twin: setattr(twin, "test", ast.Constant(False))
        case ast.FunctionDef(body=[_, _, *_]):
            yield _left_at_once


def _text(node: ast.AST) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _without_not(twin: ast.UnaryOp) -> None:
    twin.op, twin.operand = ast.Not(), ast.UnaryOp(op=ast.Not(), operand=twin.operand)


def _swapped(twin: ast.Call) -> None:
    twin.args[0], twin.args[1] = twin.args[1], twin.args[0]


def _left_at_once(twin: ast.FunctionDef) -> None:
    twin.body = [ast.Return(ast.Constant(None))]
