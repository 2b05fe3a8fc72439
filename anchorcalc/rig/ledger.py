"""What was assumed because nobody gave it, and which rows of the user's own tables were used."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct

from anchorcalc.result.fitting import Assumed
from anchorcalc.units import UnitSystem, format_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Row
    from anchorcalc.catalog.tables import Catalog

R = TypeVar("R", bound="Row")


class Ledger(Struct):
    """Assumptions in the order they were first made, each once, in the user's units."""

    units: UnitSystem
    entries: dict[str, Assumed] = {}

    def assume(self, what: str, value: str, why: str) -> None:
        """Write down that `what` was taken as `value`."""
        self.entries.setdefault(what, Assumed(what, value, why))

    def length(self, what: str, metres: float, why: str) -> float:
        """Assume a length [m] and give it back."""
        self.assume(what, format_quantity(metres, self.units.length, "length"), why)
        return metres

    def force(self, what: str, newtons: float, why: str) -> float:
        """Assume a force [N] and give it back."""
        self.assume(what, format_quantity(newtons, self.units.force, "force"), why)
        return newtons


class Lookup(Struct):
    """The tables, with a note of every row of the user's own that was looked up."""

    catalog: Catalog
    own: dict[str, str] = {}

    def noted(self, row: R) -> R:
        """`row`, noted if it is the user's own."""
        if row.own_file is not None:
            self.own[row.name] = row.own_file
        return row
