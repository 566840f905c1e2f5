"""A code for a phone, made at the machine itself."""

from __future__ import annotations

from starlette.exceptions import HTTPException

from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.bench import Bench
from glazecalc.workbench.lan import CODE_MINUTES, WARNING

__all__ = ("ROUTES",)


def phone(bench: Bench, asked: Asked) -> pages.Response:
    """Show the address for a phone, and make a code for it."""
    if bench.phones is None or pages.READING_ONLY.get():
        raise HTTPException(404)
    code = bench.phones.new_code() if asked.method == "POST" else ""
    return pages.page("phone.html", url=bench.phones.url, code=code, minutes=CODE_MINUTES, warning=WARNING)


ROUTES = ((("GET", "POST"), "/phone", phone),)
