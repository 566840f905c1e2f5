"""What one unity formula has more or less of than another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from glazecalc.convention import Convention
from glazecalc.display import Shown
from glazecalc.frozen import FrozenDict
from glazecalc.oxides import check_oxide

if TYPE_CHECKING:
    import pandas as pd

__all__ = ("UnityChange",)

_DIGITS = 2  # of a unity formula as it is printed


@dataclass(frozen=True, slots=True, repr=False)
class UnityChange(Shown, Mapping[str, float]):
    """Oxide -> moles that one unity formula has more than another, below zero where it has less; read-only.

    An oxide of the axis that neither has reads 0; an unknown name is an UnknownNameError. It comes from `unity_a - unity_b`.

    Attributes
    ----------
    convention : Convention
        That both formulas stand on.
    """

    amounts: Mapping[str, float]
    convention: Convention

    def __post_init__(self) -> None:
        object.__setattr__(self, "amounts", FrozenDict(self.amounts))

    def __getitem__(self, oxide: str) -> float:
        if oxide not in self.amounts and oxide != "KNaO":
            check_oxide(oxide)
        return self.amounts.get(oxide, 0.0)

    def __iter__(self) -> Iterator[str]:
        return iter(self.amounts)

    def __len__(self) -> int:
        return len(self.amounts)

    def __contains__(self, oxide: object) -> bool:
        return oxide in self.amounts

    def __repr__(self) -> str:
        moved = " ".join(f"{oxide} {amount:+.3g}" for oxide, amount in self.amounts.items() if abs(amount) > 1e-12)
        return f"<UnityChange {moved or 'none'}>"

    def __str__(self) -> str:
        """Return what moves by as much as the formula is printed with, the largest move first."""
        seen = {oxide: amount for oxide, amount in self.amounts.items() if round(abs(amount), _DIGITS) > 0}
        moved = sorted(seen.items(), key=lambda pair: -abs(pair[1]))
        if not moved:
            return f"no oxide moves by {10**-_DIGITS / 2:g} or more"
        return ", ".join(f"{oxide} {amount:+.{_DIGITS}f}" for oxide, amount in moved)

    def to_frame(self) -> pd.DataFrame:
        """Return a frame with columns ``oxide, moles_more``; the convention stands in its ``attrs``."""
        import pandas as pd

        frame = pd.DataFrame(list(self.items()), columns=["oxide", "moles_more"])
        frame.attrs |= {"convention": self.convention.description, "units": {"moles_more": self.convention.unit}}
        return frame
