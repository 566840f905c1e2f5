"""What can be done with a glaze: the verbs of the command line, and which of their fields a potter needs first."""

from __future__ import annotations

from dataclasses import dataclass

from glazecalc.cli.verbs import VERBS
from glazecalc.workbench.fields import Field, fields_of

__all__ = ("FREE", "JOBS", "SHELVES", "Group", "Job", "job_named")


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that stand together under a heading."""

    heading: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Job:
    """One verb as a form, sent by the words of `button`: `first` are the groups that stand open, `rest` what stands behind “More”.

    `begins_with` are options that hold the studio's own list from the start, `ticked` those whose materials are ticked among those of the card; `extra` is what
    the form asks beside the options: ``weighed``, ``wishes``, ``second``, ``others``, ``firings``, ``results`` or ``what``.
    """

    key: str
    verb: str
    button: str
    first: tuple[Group, ...]
    rest: tuple[str, ...] = ()
    extra: str = ""
    ticked: tuple[str, ...] = ()
    begins_with: tuple[str, ...] = ()
    told: str = ""

    @property
    def title(self) -> str:
        """The verb as a heading."""
        return self.key.capitalize()

    @property
    def about(self) -> str:
        """What it does, in the words of the command line."""
        return self.told or VERBS[self.verb]

    def field(self, name: str) -> Field:
        """Return one of its fields."""
        return fields_of(self.verb)[name]

    @property
    def names(self) -> tuple[str, ...]:
        """The fields of the form, in its order."""
        return (*(name for group in self.first for name in group.names), *self.rest)


_SIZE = (
    Group("A weight", ("all-in", "base")),
    Group("A bucket", ("fill", "sg")),
    Group("An order", ("pieces", "gain", "area", "spare")),
)
_SIZE_REST = ("limit", "bucket", "solids-density", "coat", "moist")
_CHOICES = (
    "only", "without-oxide", "keep", "max-materials", "answers", "least", "most", "raw-clay", "parts-step", "prefer", "prices", "batch-mass", "tolerance",
)  # fmt: skip

_AT_THE_SCALE = (
    Job(
        "scale",
        "scale",
        "Make the list",
        (*_SIZE, Group("Your scale", ("step", "capacity", "unit"))),
        (*_SIZE_REST, "prices", "form", "gum", "gum-solution", "jug", "mesh"),
    ),
    Job(
        "slurry",
        "slurry",
        "Work it out",
        (
            Group("A stirred sample", ("sample",)),
            Group("The bucket", ("gross", "tare", "volume")),
            Group("Bring it to", ("to", "sg")),
        ),
        ("sg-now", "sample-error", "solids-density", "bucket", "add", "step", "moist"),
    ),
    Job(
        "mend",
        "mend",
        "What to add",
        (Group("What was planned", ("all-in", "base", "used")),),
        ("step",),
        extra="weighed",
    ),
    Job(
        "label",
        "scale",
        "Make the label",
        (*_SIZE, Group("On the label", ("date", "batch-no", "mesh", "unit"))),
        (*_SIZE_REST, "step", "form", "gum", "gum-solution"),
        told="A label for the bucket, with what is in it and its cautions.",
    ),
)
_CHANGE_IT = (
    Job(
        "substitute",
        "substitute",
        "Find batches",
        (Group("Which is gone", ("without",)), Group("What there is", ("also", "stock"))),
        (*_CHOICES, "free-colourants", "full", "convention"),
        ticked=("without",),
        begins_with=("stock",),
    ),
    Job(
        "nudge",
        "nudge",
        "Find the change",
        (),
        ("also", "fix", "keep", "model", "convention"),
        extra="wishes",
        ticked=("fix",),
    ),
    Job(
        "match",
        "match",
        "Find batches",
        (Group("What there is", ("only", "stock", "also")),),
        ("without", *_CHOICES[1:], "colourant", "total", "full", "convention"),
        begins_with=("stock",),
        told="Other batches for the formula of this glaze.",
    ),
    Job(
        "blend",
        "blend",
        "Lay out the tiles",
        (Group("The tiles", ("side", "tile", "step")), Group("A progression", ("rise",))),
        ("sg", "solids-density", "convention"),
        extra="others",
    ),
)
_LOOK_CLOSER = (
    Job(
        "check",
        "check",
        "Check it",
        (Group("", ("cone", "use", "body", "firings", "surface")),),
        (
            "full",
            "tests",
            "working",
            "spread",
            "step",
            "batch-mass",
            "moisture",
            "glaze-expansion",
            "glaze-range",
            "set-point",
            "convention",
        ),
    ),
    Job("compare", "compare", "Compare them", (), ("body", "cone", "use", "convention"), extra="second"),
    Job(
        "calibrate",
        "calibrate",
        "Place it",
        (Group("", ("body-name", "cone")),),
        ("model",),
        extra="firings",
        told="Your own firings on one body, and where this glaze lies.",
    ),
    Job(
        "cost",
        "cost",
        "Work out the cost",
        (Group("", ("prices", "stock")), *_SIZE),
        (*_SIZE_REST, "step"),
        begins_with=("prices", "stock"),
    ),
)
SHELVES = (("At the scale", _AT_THE_SCALE), ("Change it", _CHANGE_IT), ("Look closer", _LOOK_CLOSER))
"""The jobs that are done with one glaze, by the moment at which they are wanted."""
JOBS = tuple(job for _, jobs in SHELVES for job in jobs)
FREE = (
    Job("cone", "cone", "Look it up", (Group("", ("rate", "family")),), extra="what"),
    Job(
        "size",
        "size",
        "Work it out",
        (
            Group("A marked bar", ("wet", "dry", "fired")),
            Group("What you want", ("want", "thrown", "shrinkage")),
            Group("The clay for it", ("clay-mass", "clay-size", "piece")),
        ),
        ("bar", "bar-error", "tolerance", "clay-law", "absorption"),
    ),
    Job(
        "lab",
        "lab",
        "Compare with the limits",
        (Group("The ware", ("ware", "depth", "area", "volume")),),
        ("where", "full"),
        extra="results",
    ),
)
"""The jobs that need no card."""


def job_named(key: str, *, free: bool) -> Job | None:
    """Return a job by its word in the address."""
    return next((job for job in (FREE if free else JOBS) if job.key == key), None)
