"""How a page is set: the templates, which escape by default; the style sheet; formulas and units as a printer sets them."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from glazecalc.oxides import AXIS
from glazecalc.plain_text import visible
from glazecalc.sentences import capital
from glazecalc.show.text import number

__all__ = ("chemical", "environment", "figure", "file_of", "page_css", "plain", "policy", "rendered", "said", "unit")

_ELEMENTS = sorted({element for oxide in AXIS for element in re.findall("[A-Z][a-z]?", oxide)} | set("HCNSF"), key=len)
_ELEMENT = "(?:" + "|".join(reversed(_ELEMENTS)) + ")"
# R2O, R2O3, RO2 and every formula of two elements or more with a count, one of them O or of two letters: CaCO3 and CaF2 are, C738 and FFP3 are none
_FORMULA = re.compile(
    rf"(?<![A-Za-z0-9])(?=[A-Za-z]*\d)(?=[A-Za-z0-9]*(?:O|[A-Z][a-z]))(?:R2O3|R2O|RO2|(?:{_ELEMENT}\d{{0,2}}){{2,9}})(?![A-Za-z0-9])"
)
_HYDROXIDE = re.compile(r"(?<=\(OH\))(\d)")
_COUNT = re.compile(r"\d+")
_POWER = re.compile(r"\b10\^(-?\d+(?:\.\d+)?)|(?:(?<![\d.])1|(?<=\d))e-(\d+)\b|\blog10\b")
_DEGREES = re.compile(r"(?:(?<=\d)[ \u00a0]|(?<=\[))([CF])(?=$|\W)")
_MICROGRAMS = re.compile(r"\bug(?=/)")
_AREAS = re.compile(r"(?<=[cdm]m)([23])(?![\w.])")
_MINUS = re.compile(r"(?<![\w.)])-(?=\d|$)")
_NOUN = re.compile(r"(?<=\bown |our )--(?=[a-z])")  # an option as a noun of the sentence: "your own --firings"
_OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]+")
_TOGETHER = re.compile(
    r"(?<=\d) (?=(?:%|C|g|kg|lb|oz|ml|l|mm|mol|MPa|mN/m)(?![A-Za-z]))"
)  # a figure and its unit on one line
_HALVES = re.compile("[\ud800-\udfff]")


def plain(text: str) -> str:
    """Return text that any output can hold: what no text may carry stands there by its number."""
    return _HALVES.sub(lambda half: f"<U+{ord(half[0]):04X}>", visible(text))


def chemical(formula: str) -> Markup:
    """Return one formula or name of an oxide with its counts below the line: ``Al2O3``, ``Al2Si2O5(OH)4``."""
    return Markup(re.sub(r"(?<=[A-Za-z)])(\d+)", r"<sub>\1</sub>", str(escape(plain(formula)))))


def said(text: str) -> Markup:
    """Return a sentence of the program, with its formulas, powers and names of options set as print sets them; the words stay as they are."""
    set_formulas = _FORMULA.sub(lambda found: _COUNT.sub(r"<sub>\g<0></sub>", found[0]), str(escape(plain(text))))
    set_formulas = _HYDROXIDE.sub(r"<sub>\1</sub>", set_formulas)
    set_formulas = _TOGETHER.sub("\u00a0", set_formulas).replace(" ± ", "\u00a0±\u00a0")
    set_formulas = _DEGREES.sub(lambda found: found[0].replace(found[1], f"°{found[1]}"), set_formulas)
    set_formulas = (
        _AREAS.sub(r"<sup>\1</sup>", _MICROGRAMS.sub("µg", set_formulas)).replace("deg C", "°C").replace("+-", "±")
    )
    with_options = _OPTION.sub(r"<code>\g<0></code>", _NOUN.sub("", set_formulas))
    return Markup(_POWER.sub(_power, with_options))


def figure(text: str) -> Markup:
    """Return a cell of figures: with a true minus, which is as wide as a plus, and a dash for nothing."""
    return said("\u2013" if text == "-" else _MINUS.sub("\u2212", text))


def _power(found: re.Match[str]) -> str:
    if found[0] == "log10":
        return "log<sub>10</sub>"
    if found[2]:
        if found[0].startswith("1"):
            return f"10<sup>\u2212{int(found[2])}</sup>"
        return f"\u00a0\u00d7\u00a010<sup>\u2212{int(found[2])}</sup>"
    return "10<sup>" + found[1].replace("-", "\u2212") + "</sup>"


def unit(text: str) -> Markup:
    """Return a unit as print sets it."""
    set_powers = text.replace("deg C", "\u00b0C").replace("1e-6", "10<sup>\u22126</sup>").replace("Pa s", "Pa\u00a0s")
    return Markup(set_powers.replace("log10", "log<sub>10</sub>"))


@cache
def page_css() -> str:
    """Return the one style sheet of all pages."""
    return file_of(__package__, "page.css")


@cache
def policy() -> str:
    """Return what a browser may do for such a page: show it, with this style sheet, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(page_css().encode("utf-8")).digest()).decode("ascii")
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def rendered(template: str, **parts: Any) -> Markup:
    """Return a template filled in; every text in it is escaped."""
    return Markup(_environment().get_template(template).render(**parts))


@cache
def _environment() -> Environment:
    return environment(__package__)


def environment(room: str) -> Environment:
    """Return what fills in the templates of a room (a package): every text is escaped, what is not given is an error."""
    made = Environment(
        loader=FunctionLoader(lambda name: file_of(room, f"templates/{name}")),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_finalized,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters |= {
        "capital": capital,
        "chemical": chemical,
        "said": said,
        "figure": figure,
        "unit": unit,
        "number": number,
    }
    return made


def _finalized(value: Any) -> Any:
    return plain(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def file_of(room: str, name: str) -> str:
    """Return a file of a room; from a wheel that is still zipped too."""
    return resources.files(room).joinpath(name).read_text(encoding="utf-8")
