"""The open glass data behind the fitted models: read, cleaned, and cut to what a glaze can be.

The data are SciGlass (ODC Open Database License; copyright 2019 EPAM Systems), as carried by the PyPI package
`glasspy` 0.4.0. Only its two tables are read, from the zipped wheel itself; none of its code is installed or imported::

    pip download --no-deps glasspy==0.4.0 -d ~/.cache/glazecalc
    export GLASS_DATABASE=~/.cache/glazecalc/glasspy-0.4.0-py3-none-any.whl

Typical use::

    glasses = load_glasses()                                      # every silicate made of the oxides below
    glasses = without_reserved(glasses)                           # the papers of the blind test, and their copies
    glasses = glasses[lead_free(glasses)]
    glasses = merge_within_source(glasses, ["TEC160"])            # repeats in one paper: their median
    groups = joined_sources(glasses)                              # papers with a composition in common: one group

Columns of the frame: `source` (SciGlass paper number), `glass` (glass number), `author`, `year`, `analysed` (True where
the composition was analysed, False as batched), one column an oxide of `OXIDES` in mol %, total 100, and the measured
properties of `PROPERTIES` in the data base's own units, NaN where not measured.
"""

from __future__ import annotations

import io
import os
import re
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

__all__ = (
    "EXPANSION",
    "OXIDES",
    "PROPERTIES",
    "TEMPERATURE_AT_VISCOSITY",
    "VISCOSITY_AT_TEMPERATURE",
    "alkalis",
    "core",
    "database_path",
    "earths",
    "joined_sources",
    "lead_free",
    "load_glasses",
    "merge_within_source",
    "reserved_papers",
    "wide",
    "without_reserved",
)

WHEEL = "glasspy-0.4.0-py3-none-any.whl"
"""File that `pip download --no-deps glasspy==0.4.0` leaves behind."""

_COMPOSITIONS = ("glasspy/data/datafiles/select_Gcomp.csv.zip", "Gcomp.csv")
_MEASUREMENTS = ("glasspy/data/datafiles/select_SciGK.csv.zip", "SciGK.csv")

OXIDES = (
    "SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO",
    "TiO2", "ZrO2", "SnO2", "Fe2O3", "P2O5", "MnO", "CuO", "CoO", "NiO", "Cr2O3",
)  # fmt: skip
"""Oxides kept, in column order."""

# name in the data base -> (oxide of ours, moles of it in one mole): one metal, one oxide
_READ_AS: dict[str, tuple[str, float]] = {
    **{name: (name, 1.0) for name in OXIDES},
    "FeO": ("Fe2O3", 1 / 2),
    "Fe3O4": ("Fe2O3", 3 / 2),
    "MnO2": ("MnO", 1.0),
    "Mn2O3": ("MnO", 2.0),
    "Mn3O4": ("MnO", 3.0),
    "Cu2O": ("CuO", 2.0),
    "Co2O3": ("CoO", 2.0),
    "Co3O4": ("CoO", 3.0),
    "Ni2O3": ("NiO", 2.0),
    "CrO3": ("Cr2O3", 1 / 2),
    "SnO": ("SnO2", 1.0),
}

EXPANSION = {"TEC55": (20, 90), "TEC160": (20, 300), "TEC210": (20, 400), "ANY_TEC": None}
"""Expansion columns [1e-7 per K] and the range [deg C] we read them as.

The package calls TEC160 "measured at 433 +- 10 K" and TEC210 "483 +- 10 K". That it is the middle of a range is our
inference: 160 C lies between 20 and 300 C, 210 C between 20 and 400 C.
"""

VISCOSITY_AT_TEMPERATURE = {
    f"V{t}": t for t in (500, 600, 700, 800, 900, 1000, 1100, 1200, 1300, 1400, 1500, 1600, 1800, 2000, 2200)
}
"""Isotherm columns, log10(viscosity in poise), and their temperature [deg C]. 1 Pa.s is 10 poise: take 1 off."""

TEMPERATURE_AT_VISCOSITY = {f"T{n}": n - 1 for n in range(1, 14)}
"""Columns of the temperature [deg C] of a viscosity, and that viscosity as log10(Pa.s)."""

PROPERTIES = (
    *EXPANSION,
    *VISCOSITY_AT_TEMPERATURE,
    *TEMPERATURE_AT_VISCOSITY,
    "TG",  # glass transition [deg C]
    "Tsoft",  # softening point, method not stated [deg C]
    "LPT",  # Littleton softening point [deg C]
    "Mg",  # dilatometric softening temperature [deg C]
    "ANPT",  # annealing point [deg C]
    "SPT",  # strain point [deg C]
    "TLiq",  # liquidus [deg C]
    "DENSITY",  # [g/cm3]
    "MOD_UNG",  # Young's modulus [GPa]
    "any_sut",  # surface tension of the melt, temperature not stated
)


def database_path(path: str | os.PathLike[str] | None = None) -> Path:
    """Return where the wheel is: `path`, or $GLASS_DATABASE, or ~/.cache/glazecalc.

    Raises
    ------
    FileNotFoundError
        Where there is no such file; says how to get it.
    """
    given = path or os.environ.get("GLASS_DATABASE") or Path.home() / ".cache" / "glazecalc"
    wheel = Path(given).expanduser()
    if wheel.is_dir():
        wheel = wheel / WHEEL
    if not wheel.is_file():
        message = (
            f"no glass data base at {wheel}. Get it with: pip download --no-deps glasspy==0.4.0 -d {wheel.parent}"
            " (75 MB), or set GLASS_DATABASE to the wheel."
        )
        raise FileNotFoundError(message)
    return wheel


def load_glasses(path: str | os.PathLike[str] | None = None) -> pd.DataFrame:
    """Read the two tables, join them, and keep the glasses made of `OXIDES` that carry any of `PROPERTIES`.

    A glass stays where its composition totals 99-101 mol % as listed and `OXIDES` are at least 99 % of that; it is
    then normalised to 100. Iron counts as Fe2O3, every other metal as its one oxide in `OXIDES`.

    Reading takes about a minute; the result is kept beside the wheel as a pickle and read from there next time.
    """
    import pandas as pd

    wheel = database_path(path)
    cache = wheel.with_name("glazecalc_glasses.pkl")
    if cache.is_file() and cache.stat().st_mtime > max(wheel.stat().st_mtime, Path(__file__).stat().st_mtime):
        kept: pd.DataFrame = pd.read_pickle(cache)
        return kept
    glasses = _read(wheel)
    glasses.to_pickle(cache)
    return glasses


def _table(wheel: Path, member: tuple[str, str]) -> io.BytesIO:
    with zipfile.ZipFile(wheel) as outer, zipfile.ZipFile(io.BytesIO(outer.read(member[0]))) as inner:
        return io.BytesIO(inner.read(member[1]))


def _read(wheel: Path) -> pd.DataFrame:
    import pandas as pd

    head = ["KOD", "GLASNO", "Author", "Year", "Analysis"]
    measured = pd.read_csv(
        _table(wheel, _MEASUREMENTS),
        sep="\t",
        encoding="latin-1",
        low_memory=False,
        usecols=[*head, *PROPERTIES],
    )
    measured = measured.rename(columns={"KOD": "source", "GLASNO": "glass", "Author": "author", "Year": "year"})
    measured["analysed"] = measured.pop("Analysis").eq("a")
    listed = pd.read_csv(_table(wheel, _COMPOSITIONS), sep="\t", encoding="latin-1")
    listed = listed.rename(columns={"Kod": "source", "GlasNo": "glass"})
    keys = ["source", "glass"]
    measured = measured.drop_duplicates(keys)
    measured = measured[measured[list(PROPERTIES)].notna().any(axis=1)]
    joined = measured.merge(listed.drop_duplicates(keys), on=keys, how="inner", validate="one_to_one")

    moles = np.full((len(joined), len(OXIDES)), np.nan)
    for row, text in enumerate(joined.pop("Composition")):
        moles[row] = _mole_percent(text)
    known = ~np.isnan(moles[:, 0])
    joined = joined[known].reset_index(drop=True)
    properties = joined[list(PROPERTIES)].astype(np.float64)
    composition = pd.DataFrame(moles[known], columns=list(OXIDES))
    return pd.concat([joined[[*keys, "author", "year", "analysed"]], composition, properties], axis=1)


def _mole_percent(composition: object) -> NDArray[np.float64] | float:
    """Split one listed composition (name, molar mass, wt %, mol %, parted by 0x7f); NaN where it is not for us."""
    if not isinstance(composition, str):
        return np.nan
    parts = composition.strip("\x7f").split("\x7f")
    if len(parts) % 4:
        return np.nan
    moles = np.zeros(len(OXIDES))
    total = 0.0
    for name, percent in zip(parts[0::4], parts[3::4], strict=True):
        try:
            amount = float(percent)
        except ValueError:
            return np.nan
        total += amount
        if name in _READ_AS:
            oxide, factor = _READ_AS[name]
            moles[_COLUMN[oxide]] += amount * factor
            total += amount * (factor - 1)
    if not 99 <= total <= 101 or moles.sum() < 0.99 * total or (moles < 0).any():
        return np.nan
    normalised: NDArray[np.float64] = moles * (100 / moles.sum())
    return normalised


_COLUMN = {oxide: column for column, oxide in enumerate(OXIDES)}


# --- domains: each takes the frame and gives a mask of its rows ---------------------------------------------------


def alkalis(glasses: pd.DataFrame) -> pd.Series[float]:
    """R2O: Li2O + Na2O + K2O [mol %]."""
    return glasses[["Li2O", "Na2O", "K2O"]].sum(axis=1)


def earths(glasses: pd.DataFrame, *, lead: bool = False) -> pd.Series[float]:
    """RO: MgO + CaO + SrO + BaO + ZnO, and PbO where asked [mol %]."""
    return glasses[["MgO", "CaO", "SrO", "BaO", "ZnO", *(["PbO"] if lead else [])]].sum(axis=1)


def _within(glasses: pd.DataFrame, **limits: tuple[float, float]) -> pd.Series[bool]:
    mask = glasses["SiO2"].notna()
    for oxide, (low, high) in limits.items():
        mask &= glasses[oxide].between(low, high)
    return mask


def wide(glasses: pd.DataFrame) -> pd.Series[bool]:
    """Everything near enough to a glaze to fit on."""
    fluxes = alkalis(glasses) + earths(glasses, lead=True)
    mask = _within(glasses, SiO2=(45, 82), Al2O3=(1, 20), B2O3=(0, 25), TiO2=(0, 10), ZrO2=(0, 8), SnO2=(0, 6))
    mask &= _within(glasses, Fe2O3=(0, 8), P2O5=(0, 6), **dict.fromkeys(("MnO", "CuO", "CoO", "NiO", "Cr2O3"), (0, 8)))
    return mask & (alkalis(glasses) <= 25) & fluxes.between(8, 45)


def lead_free(glasses: pd.DataFrame) -> pd.Series[bool]:
    """Wide, and PbO at most 0.5 mol %."""
    return wide(glasses) & (glasses["PbO"] <= 0.5)


def core(glasses: pd.DataFrame) -> pd.Series[bool]:
    """Lead-free with silica, alumina, lime and alkali as in most glazes."""
    return lead_free(glasses) & _within(glasses, SiO2=(50, 80), Al2O3=(3, 16), CaO=(3, 100)) & (alkalis(glasses) >= 1)


# --- repeats, copies and the blind test ---------------------------------------------------------------------------


def _composition_codes(glasses: pd.DataFrame, decimals: int) -> NDArray[np.int64]:
    """One number a row, the same where the composition rounded to `decimals` of a mol % is the same."""
    rounded = np.rint(glasses[list(OXIDES)].to_numpy() * 10**decimals).astype(np.int64)
    codes: NDArray[np.int64] = np.unique(rounded, axis=0, return_inverse=True)[1].ravel()
    return codes


def merge_within_source(
    glasses: pd.DataFrame, properties: Sequence[str] = PROPERTIES, *, decimals: int = 1
) -> pd.DataFrame:
    """Give each composition of a paper once: the median of each property, the mean of the composition.

    Rows without any of `properties` are dropped; the frame keeps only those property columns.
    """
    kept = glasses[glasses[list(properties)].notna().any(axis=1)]
    composition = _composition_codes(kept, decimals)
    rules: dict[str, Any] = dict.fromkeys(("glass", "author", "year", "analysed"), "first")
    rules |= dict.fromkeys(OXIDES, "mean") | dict.fromkeys(properties, "median")
    return kept.groupby([kept["source"], composition], sort=True).agg(rules).reset_index(level=0).reset_index(drop=True)


def joined_sources(glasses: pd.DataFrame, *, decimals: int = 1) -> NDArray[np.int64]:
    """Give each row the number of its group: papers that share a composition, directly or through others.

    Papers reprint each other's glasses. A fit that learns from one and is tested on the other flatters itself, so
    cross-validation leaves out whole groups.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    _, source = np.unique(glasses["source"].to_numpy(), return_inverse=True)
    composition = _composition_codes(glasses, decimals)
    sources, compositions = int(source.max()) + 1, int(composition.max()) + 1
    size = sources + compositions
    links = coo_array((np.ones(len(source)), (source, sources + composition)), shape=(size, size))
    labels: NDArray[np.int64] = connected_components(links, directed=False)[1][source].astype(np.int64)
    return labels


def reserved_papers() -> frozenset[int]:
    """Paper numbers of the blind test, from `reserved_sources.txt` beside this file."""
    text = Path(__file__).with_name("reserved_sources.txt").read_text(encoding="utf-8")
    return frozenset(int(number) for number in re.findall(r"^\d+", text, flags=re.MULTILINE))


def without_reserved(glasses: pd.DataFrame, papers: Iterable[int] | None = None, *, decimals: int = 1) -> pd.DataFrame:
    """Leave out the reserved papers and every paper that shares an identical composition with one of them.

    Judge it on the whole frame of `load_glasses`, before any mask: a copy may carry another property.
    """
    reserved = reserved_papers() if papers is None else frozenset(papers)
    composition = _composition_codes(glasses, decimals)
    held = glasses["source"].isin(reserved).to_numpy()
    copies = np.isin(composition, composition[held])
    tainted = glasses.loc[held | copies, "source"].unique()
    return glasses[~glasses["source"].isin(tainted)].reset_index(drop=True)
