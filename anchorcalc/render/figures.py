"""Numbers as people read them in drawings and reports: forces, lengths as a tape shows them, shares."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, Protocol

from anchorcalc.units import SI, US, UnitSystem, format_quantity, unit_worth

if TYPE_CHECKING:
    from anchorcalc.result import Figure


class Shown(Protocol):
    """A scenario or an answer to it: it says in which units people want to read it."""

    @property
    def units(self) -> Literal["us", "si"]:
        """Name of the units."""
        ...


def units_of(shown: Shown) -> UnitSystem:
    """Units in which `shown` is to be read."""
    return US if shown.units == "us" else SI


def force_number(newtons: float, units: UnitSystem) -> str:
    """Force [N] without its unit: whole lbf, or kN with two decimals."""
    if not math.isfinite(newtons):
        return "no limit"
    value = newtons / unit_worth(units.force, "force")
    return f"{value:,.0f}" if units.name == "us" else f"{value:,.2f}"


def force(newtons: float, units: UnitSystem) -> str:
    """Force [N] with its unit."""
    text = force_number(newtons, units)
    return f"{text} {units.force}" if math.isfinite(newtons) else text


def weight(newtons: float, units: UnitSystem) -> str:
    """Weight [N] of a thing."""
    return format_quantity(newtons, "lb" if units.name == "us" else "kg", "weight")


def hardware_weight(newtons: float, units: UnitSystem) -> str:
    """Weight [N] to the whole pound or kilogram."""
    unit = "lb" if units.name == "us" else "kg"
    return f"{round(newtons / unit_worth(unit, 'weight')):,} {unit}"


def percent(share: float) -> str:
    """A share in per cent: demand over limit, or what is there of what is asked for."""
    return f"{100 * share:.0f} %" if math.isfinite(share) else "no hold"


def figure(shown: Figure, units: UnitSystem) -> str:
    """A number that went into a link."""
    if shown.kind == "force":
        return force(shown.value, units)
    if shown.kind == "length":
        return format_quantity(shown.value, units.length, "length", 3)
    if shown.kind == "pressure":
        return format_quantity(shown.value, "psi" if units.name == "us" else "MPa", "pressure", 3)
    return f"{shown.value:.3g}"
