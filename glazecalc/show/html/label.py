"""The label of a bucket, in a frame to cut out."""

from __future__ import annotations

from typing import Any

from glazecalc.show.label import NOT_SAID, PRACTICE, contents, facts
from glazecalc.workshop.bucket_label import BucketLabel

__all__ = ("page",)


def page(label: BucketLabel) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts."""
    return "label.html", {
        "title": label.bucket.recipe.name,
        "facts": facts(label),
        "contents": contents(label),
        "bench": label.bench,
        "practice": (PRACTICE, NOT_SAID),
    }
