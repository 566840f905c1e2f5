"""What a label on a bucket says: what is in it, and what to mind at the bench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal, get_args

from glazecalc.caution.bench import short_cautions
from glazecalc.display import Shown
from glazecalc.errors import UnknownNameError, WorkshopError, did_you_mean
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("BucketLabel", "LabelUnit", "bucket_label")

LabelUnit = Literal["g", "kg", "oz", "lb"]


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class BucketLabel(Shown):
    """A label; `print` gives it in a frame, to cut out.

    Attributes
    ----------
    bucket : ScaledBatch
        What was weighed in, with its water.
    bench : tuple of str
        The cautions of its materials, one a line, gravest first.
    date, batch_no, mesh : str
        As they are to stand there; what is empty is a line to fill in.
    unit : str
        Of the weights.
    """

    PAGE: ClassVar[str] = "label"
    JSON: ClassVar[tuple[str, ...]] = ("name=bucket.recipe.name", "date", "batch_no", "mesh", "bench", "bucket")
    bucket: ScaledBatch
    bench: tuple[str, ...] = ()
    date: str = ""
    batch_no: str = ""
    mesh: str = ""
    unit: LabelUnit = "g"

    def __repr__(self) -> str:
        return f"<BucketLabel of {self.bucket.recipe.name!r}: {len(self.bench)} cautions>"


def bucket_label(
    bucket: ScaledBatch, *, date: str = "", batch_no: str = "", mesh: str = "", unit: LabelUnit = "g"
) -> BucketLabel:
    """Return the label of a bucket.

    Parameters
    ----------
    bucket : ScaledBatch
        From `scale` or `fill`, with a library: the cautions are those of its materials.
    date, batch_no, mesh : str
        As they are to stand there; what is left out is a line to fill in.
    unit : str
        ``"g"``, ``"kg"``, ``"oz"`` or ``"lb"``.

    Returns
    -------
    BucketLabel

    Raises
    ------
    WorkshopError
        For a list that was made without a library: nothing is known of its hazards.
    UnknownNameError
        For another unit.

    Examples
    --------
    >>> import glazecalc as gc
    >>> materials, black = gc.load_materials("materials"), gc.read_recipe("recipes/harbour-black.txt")
    >>> gc.bucket_label(gc.scale(black, materials, all_in_g=2000), mesh="80").bench[0]
    'May cause cancer or harm fertility or an unborn child: Cobalt carbonate'
    """
    if not bucket.materials:
        said = "the list was made without a library, so the hazards of its materials are not known."
        raise WorkshopError(said, "Write gc.scale(recipe, materials, ...).")
    if unit not in get_args(LabelUnit):
        known = get_args(LabelUnit)
        hint = did_you_mean(str(unit), known) or f"Known: {', '.join(known)}."
        raise UnknownNameError(f"'{unit}' is no unit of a label.", hint)
    bench = tuple(short_cautions(bucket.materials))
    return BucketLabel(bucket=bucket, bench=bench, date=date, batch_no=batch_no, mesh=mesh, unit=unit)
