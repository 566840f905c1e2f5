"""A value names its page and its JSON keys; `show` is found at call time. The one seam by which a low room looks up."""

from __future__ import annotations

from typing import Any, ClassVar

__all__ = ("RECALLED", "Shown")

RECALLED = "recalled, not checked against the print"  # how what the data marks `from_memory` is printed


class Shown:
    """What a value needs to show itself: as the page that the command prints, and as plain values for JSON.

    `PAGE` is the module of `glazecalc.show` whose ``page(value, **options)`` prints it, empty where it has none. `JSON` are its keys,
    ``"name"`` for an attribute or ``"key=path.to.attribute"``, in order; empty for the fields of the dataclass.
    """

    __slots__ = ()
    PAGE: ClassVar[str] = ""
    JSON: ClassVar[tuple[str, ...]] = ()

    def __str__(self) -> str:
        if not self.PAGE:
            return repr(self)
        from glazecalc.plain_text import visible
        from glazecalc.show import pages

        return visible(pages.page(self))

    def _repr_html_(self) -> str | None:
        """Return the page for a notebook; None where it has none."""
        if not self.PAGE:
            return None
        from html import escape

        return f"<pre>{escape(str(self))}</pre>"

    def to_dict(self) -> dict[str, Any]:
        """Return it as plain values with the keys of its JSON."""
        from glazecalc.show import pages

        plain: dict[str, Any] = pages.plain(self)
        return plain
