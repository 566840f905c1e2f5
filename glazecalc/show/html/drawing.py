"""Small pictures as inline SVG: bars, a value with its error among others, points on a plane. They draw in the ink of the page."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from glazecalc.show.html.setting import plain

__all__ = ("Point", "bar", "interval", "lean", "key", "lanes", "numbered", "plane", "round_steps")

_WIDE, _HIGH = 350, 44  # of an interval
_PLANE = (350, 270)
_LEFT, _BELOW, _EDGE, _TOP = 40, 40, 12, 18  # room for the figures and names of the axes


@dataclass(frozen=True, slots=True)
class Point:
    """A point of a plane: where it lies and how it is drawn, ``ring triangle square cross dot`` or ``self``."""

    x: float
    y: float
    kind: str


def bar(share: float, kind: str = "solid") -> Markup:
    """Return a bar over `share` of its width, 0 to 1; what is there is never without a line."""
    width = max(0.4, 100 * min(1.0, share))
    shape = Markup('<rect class="{}" x="0" y="1" width="{}" height="6"/>').format(kind, _short(width))
    return Markup('<svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">{}</svg>').format(shape)


def lean(share: float) -> Markup:
    """Return a bar from the middle, to the left for less and to the right for more, over `share` of its half, -1 to 1."""
    width = 49 * min(1.0, abs(share))
    start = 50 - width if share < 0 else 50
    shape = Markup(
        '<rect class="solid" x="{}" y="1" width="{}" height="6"/><line class="mark" x1="50" x2="50" y1="0" y2="8"/>'
    )
    drawn = shape.format(_short(start), _short(width))
    return Markup('<svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">{}</svg>').format(drawn)


def interval(
    value: float, low: float | None, high: float | None, among: Sequence[float], shape: str, told: str
) -> Markup:
    """Return a value with its error on a line, and above the line a stroke for each value `among` which it stands; `told` says it in words."""
    ends = [*among, value, *(end for end in (low, high) if end is not None)]
    steps = round_steps(min(ends), max(ends), 6)
    x = _scale(steps[0], steps[-1], 10, _WIDE - 10)
    parts = [Markup('<line class="mark" x1="{0}" x2="{0}" y1="1" y2="11"/>').format(_short(x(one))) for one in among]
    parts.append(Markup('<line class="line" x1="10" x2="{}" y1="26" y2="26"/>').format(_WIDE - 10))
    for step in steps:
        parts.append(Markup('<line class="line" x1="{0}" x2="{0}" y1="26" y2="30"/>').format(_short(x(step))))
        parts.append(_text(x(step), 42, format(step, shape), "middle", "faint"))
    if low is not None and high is not None:
        spots = (_short(x(low)), _short(x(high)))
        parts.append(Markup('<line class="whisker" stroke-width="4" x1="{}" x2="{}" y1="18" y2="18"/>').format(*spots))
    parts.append(Markup('<circle class="accent" cx="{}" cy="18" r="5"/>').format(_short(x(value))))
    return _picture(_WIDE, _HIGH, told, parts)


def key(kind: str) -> Markup:
    """Return the mark of a kind of point, for the words below a picture."""
    return Markup('<svg class="key" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">{}</svg>').format(
        _marker(8, 8, kind)
    )


def plane(
    points: Iterable[Point], reach: tuple[float, float], across: str, up: str, rays: Iterable[float], told: str
) -> Markup:
    """Return points over two axes from zero to `reach` and a little more, with lines from the origin of equal ratio `rays`."""
    wide, high = _PLANE
    xs, ys = round_steps(0, reach[0], 5), round_steps(0, reach[1], 5)
    x, y = _scale(0, xs[-1], _LEFT, wide - _EDGE), _scale(0, ys[-1], high - _BELOW, _TOP)
    parts = []
    for ratio in rays:
        end = min(xs[-1], ys[-1] / ratio)
        spots = (_short(x(0)), _short(y(0)), _short(x(end)), _short(y(ratio * end)))
        parts.append(Markup('<line class="hair" x1="{}" y1="{}" x2="{}" y2="{}"/>').format(*spots))
        above = ratio * end >= ys[-1] * (1 - 1e-9)
        spot = (x(end), _TOP - 4, "middle") if above else (x(end) - 2, y(ratio * end) - 4, "end")
        parts.append(_text(spot[0], spot[1], f"{ratio:g} : 1", spot[2], "faint"))
    frame = (_LEFT, _TOP, _short(wide - _EDGE), high - _BELOW)
    parts.append(Markup('<path class="line" d="M{0} {1}V{3}H{2}"/>').format(*frame))
    parts += [_text(x(step), high - _BELOW + 16, f"{step:g}", "middle", "faint") for step in xs]
    parts += [_text(_LEFT - 6, y(step) + 4, f"{step:g}", "end", "faint") for step in ys[1:]]
    parts.append(_text((_LEFT + wide) / 2, high - 6, across, "middle"))
    parts.append(
        Markup('<text transform="translate(13 {}) rotate(-90)" text-anchor="middle">{}</text>').format(
            _short((high - _BELOW) / 2), plain(up)
        )
    )
    within = [point for point in points if point.x <= xs[-1] and point.y <= ys[-1]]
    parts += [_marker(x(point.x), y(point.y), point.kind) for point in within]
    return _picture(wide, high, told, parts)


def lanes(rows: Sequence[tuple[str, Sequence[float], str]], band: tuple[float, float] | None, told: str) -> Markup:
    """Return values on one axis in a lane for each row: its name, its values, the kind of mark; `band` is shaded across the lanes."""
    values = [value for _, found, _ in rows for value in found]
    steps = round_steps(min(values), max(values), 5)
    left, wide, high = 66, 380, 24 * len(rows) + 30
    x = _scale(steps[0], steps[-1], left, wide - 12)
    parts, floor = [], 24 * len(rows) + 4
    if band is not None:
        shape = Markup('<rect class="band" x="{}" y="2" width="{}" height="{}"/>')
        parts.append(shape.format(_short(x(band[0])), _short(max(2.0, x(band[1]) - x(band[0]))), floor - 2))
    for lane, (name, found, kind) in enumerate(rows):
        y = 24 * lane + 16
        parts.append(_text(0, y + 4, name, "start"))
        parts.append(Markup('<line class="hair" x1="{0}" x2="{1}" y1="{2}" y2="{2}"/>').format(left, wide - 12, y))
        parts += [_marker(x(value), y, kind) for value in found]
    parts.append(Markup('<line class="line" x1="{0}" x2="{1}" y1="{2}" y2="{2}"/>').format(left, wide - 12, floor))
    for step in steps:
        shape = Markup('<line class="line" x1="{0}" x2="{0}" y1="{1}" y2="{2}"/>')
        parts += [
            shape.format(_short(x(step)), floor, floor + 4),
            _text(x(step), floor + 17, f"{step:g}", "middle", "faint"),
        ]
    return _picture(wide, high, told, parts)


def numbered(spots: Sequence[tuple[float, float]], told: str) -> Markup:
    """Return a circle with its number at each of `spots`, 0 to 1 across and down."""
    wide, deep = 340, 220
    parts = []
    for number, (across, down) in enumerate(spots, 1):
        x, y = 16 + across * (wide - 32), 16 + down * deep
        parts.append(Markup('<circle class="paper" cx="{}" cy="{}" r="13"/>').format(_short(x), _short(y)))
        parts.append(_text(x, y + 4, str(number), "middle"))
    return _picture(wide, 32 + deep * max((down for _, down in spots), default=0), told, parts)


def round_steps(low: float, high: float, most: int) -> list[float]:
    """Return round figures from below `low` to above `high`, `most` steps or fewer."""
    least = (high - low or 1.0) / most
    power = 10.0 ** math.floor(math.log10(least))
    step = next(size * power for size in (1, 2, 5, 10) if size * power >= least * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(step * at, 9) for at in range(first, max(last, first + 1) + 1)]


def _scale(low: float, high: float, start: float, end: float):  # type: ignore[no-untyped-def]
    return lambda value: start + (value - low) / (high - low) * (end - start)


def _marker(x: float, y: float, kind: str) -> Markup:
    shapes = {
        "ring": '<circle class="mark" cx="{x}" cy="{y}" r="3"/>',
        "dot": '<circle class="faint" cx="{x}" cy="{y}" r="1.6"/>',
        "triangle": '<path class="mark" d="M{x} {y}m0 -3.6l3.4 6h-6.8z"/>',
        "square": '<path class="mark" d="M{x} {y}m-2.8 -2.8h5.6v5.6h-5.6z"/>',
        "cross": '<path class="mark" d="M{x} {y}m-2.8 -2.8l5.6 5.6m0 -5.6l-5.6 5.6"/>',
        "self": '<path class="accent" d="M{x} {y}m0 -7l7 7l-7 7l-7 -7z"/>',
        "other": '<path class="whisker" stroke-width="2" d="M{x} {y}m0 -7l7 7l-7 7l-7 -7z"/>',
    }
    return Markup(shapes[kind].format(x=_short(x), y=_short(y)))


def _text(x: float, y: float, text: str, anchor: str, kind: str = "") -> Markup:
    shape = '<text class="{}" x="{}" y="{}" text-anchor="{}">{}</text>'
    return Markup(shape).format(kind, _short(x), _short(y), anchor, plain(text))


def _picture(wide: float, high: float, told: str, parts: Iterable[Markup]) -> Markup:
    shape = '<svg viewBox="0 0 {0} {1}" width="{0}" height="{1}" role="img" aria-label="{2}">{3}</svg>'
    return Markup(shape).format(_short(wide), _short(high), plain(told), Markup("").join(parts))


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
