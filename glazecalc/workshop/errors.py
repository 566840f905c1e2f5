"""The error of the workshop: a request that no scale or bucket can meet."""

from __future__ import annotations

from glazecalc.errors import GlazeError

__all__ = ("WorkshopError",)


class WorkshopError(GlazeError, ValueError):
    """A weighing, slurry, size or price that cannot be worked out from what was given."""
