"""Quantities in, quantities out: text with a unit at the edges, plain SI floats inside.

The text is checked by our own pattern before pint sees any of it, because a general parser reads
``3,5 kN`` as 35 kN and takes ``nan kN`` for a number. Pint then knows what each unit is worth.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from pint import UnitRegistry

Dimension = Literal[
    "length", "force", "weight", "pressure", "torque",
    "weight_density", "inertia_per_width", "modulus_per_width", "area_per_width", "section_modulus", "inertia",
]  # fmt: skip

STANDARD_GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s²] (ISO 80000-3, exact)."""

# Exact factors: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
_DEFINITIONS: Final = """
metre = [length] = m
kilogram = [mass] = kg
second = [time] = s
millimetre = 0.001 * metre = mm
centimetre = 0.01 * metre = cm
inch = 0.0254 * metre = in
foot = 0.3048 * metre = ft
standard_gravity = 9.80665 * metre / second ** 2
newton = kilogram * metre / second ** 2 = N
decanewton = 10 * newton = daN
kilonewton = 1000 * newton = kN
kilogram_force = kilogram * standard_gravity = kgf
pound = 0.45359237 * kilogram = lb
pound_force = pound * standard_gravity = lbf
tonne = 1000 * kilogram = t
pascal = newton / metre ** 2 = Pa
kilopascal = 1000 * pascal = kPa
megapascal = 1000000 * pascal = MPa
gigapascal = 1000000000 * pascal = GPa
psi = pound_force / inch ** 2
ksi = 1000 * psi
""".strip()

# What a person may write for each dimension, and the pint expression it stands for.
_UNITS: Final[dict[Dimension, dict[str, str]]] = {
    "length": {"mm": "mm", "cm": "cm", "m": "m", "in": "in", "ft": "ft", '"': "in", "″": "in", "'": "ft", "′": "ft"},
    "force": {"N": "N", "daN": "daN", "kN": "kN", "lbf": "lbf", "kgf": "kgf"},
    "weight": {
        "lb": "lbf", "lbs": "lbf", "kg": "kgf", "t": "t * standard_gravity",
        "N": "N", "daN": "daN", "kN": "kN", "lbf": "lbf", "kgf": "kgf",
    },
    "pressure": {
        "Pa": "Pa", "kPa": "kPa", "MPa": "MPa", "GPa": "GPa", "N/mm2": "MPa", "N/mm²": "MPa",
        "psi": "psi", "ksi": "ksi",
    },
    "torque": {"N m": "N * m", "lbf ft": "lbf * ft", "lbf in": "lbf * in"},
    "weight_density": {"kg/m3": "kgf / m ** 3", "lb/ft3": "lbf / ft ** 3", "psf/in": "lbf / ft ** 2 / in"},
    "inertia_per_width": {"in4/ft": "in ** 4 / ft", "mm4/mm": "mm ** 3"},
    "modulus_per_width": {"in3/ft": "in ** 3 / ft", "mm3/mm": "mm ** 2"},
    "area_per_width": {"in2/ft": "in ** 2 / ft", "mm2/mm": "mm"},
    "section_modulus": {"in3": "in ** 3", "cm3": "cm ** 3"},
    "inertia": {"in4": "in ** 4", "cm4": "cm ** 4"},
}  # fmt: skip

_NUMBER: Final = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
_QUANTITY: Final = re.compile(
    rf"(?P<sign>[+\-−]?)\s*(?:(?P<whole>\d+)[\s-]+)?(?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|(?P<number>{_NUMBER}))"
    r"\s*(?P<unit>[^\d\s].*)?"
)
_FEET_AND_INCHES: Final = re.compile(
    r"(?P<sign>[+\-−]?)\s*(?P<feet>\d{1,4})\s*(?:'|′|ft|feet)[\s-]*"
    r"(?P<inches>\d{1,2}(?:\.\d{1,9}|\s+\d{1,4}/[1-9]\d{0,3}|/[1-9]\d{0,3})?)\s*(?:\"|″|''|′′|in|inch|inches)?",
    re.IGNORECASE,
)
_INCHES_IN_A_FOOT: Final = 12
_FINEST: Final = 64  # of an inch: what a tape and a drill set show
# Other ways to write a unit whose meaning nobody doubts; capitals are seen through as well.
_SPELLINGS: Final = {
    "inch": "in", "inches": "in", "ins": "in", '"': "in", "″": "in", "''": "in", "′′": "in",
    "foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "pound": "lb", "pounds": "lb", "lbs": "lb", "kgs": "kg",
}  # fmt: skip
_LONGEST_QUANTITY: Final = 60


class QuantityError(ValueError):
    """A text that is not a quantity of the wanted dimension; the message says what is allowed."""


@dataclass(frozen=True)
class UnitSystem:
    """Units for output: one name and worth [SI] for each dimension a person reads."""

    name: Literal["us", "si"]
    length: str
    force: str
    torque: str


US: Final = UnitSystem("us", "in", "lbf", "lbf ft")
SI: Final = UnitSystem("si", "mm", "kN", "N m")


def unit_system(name: Literal["us", "si"]) -> UnitSystem:
    """Units by their name."""
    return US if name == "us" else SI


@cache
def _registry() -> UnitRegistry[float]:
    from pint import UnitRegistry

    return UnitRegistry(_DEFINITIONS.splitlines())


@cache
def unit_worth(unit: str, dimension: Dimension) -> float:
    """Worth of one `unit` in the SI base of `dimension` [N, m, Pa, rad, N·m, N/m, N/m²]."""
    return float(_registry().Quantity(1.0, _UNITS[dimension][unit]).to_base_units().magnitude)


def parse_quantity(text: str, dimension: Dimension) -> float:
    """Read `text` such as ``"1 1/4 in"`` or ``"18 mm"`` as a finite SI float of `dimension`.

    Raises
    ------
    QuantityError
        Bare number, unknown or unfit unit, decimal comma, nan, infinity, or no number at all.
    """
    _, value, unit = _parts(text, dimension)
    result = value * unit_worth(unit, dimension)
    if not math.isfinite(result):
        raise QuantityError(f"{text!r} is too large to be a {_words(dimension)}")
    return result


def plain_quantity(text: str, dimension: Dimension) -> tuple[str, str]:
    """Number and unit of `text`, each in its plainest spelling: ``"6000 LBS"`` is 6000 lbf, ``12'0"`` is 144 in.

    Raises
    ------
    QuantityError
        `text` cannot be read.
    """
    number, _, unit = _parts(text, dimension)
    return number, unit


def _parts(text: str, dimension: Dimension) -> tuple[str, float, str]:
    """Number as text, its value, and the unit by its own name."""
    shown = text if len(text) <= _LONGEST_QUANTITY else text[: _LONGEST_QUANTITY - 1] + "…"
    _refuse_classic_slips(shown, dimension)
    stripped = text.strip()
    if dimension == "length" and (both := _FEET_AND_INCHES.fullmatch(stripped)):
        return _in_inches(both, shown)
    match = _QUANTITY.fullmatch(stripped)
    if match is None or len(text) > _LONGEST_QUANTITY:
        raise QuantityError(
            f"{shown!r} is not a {_words(dimension)}; write a number and a unit, {_examples(dimension)}"
        )
    if match["whole"] is not None and match["number"] is not None:
        raise QuantityError(f"{shown!r} holds two numbers; write one, or a mixed number such as '1 1/4 in'")
    value = _magnitude(match, shown)
    unit = (match["unit"] or "").strip()
    if not unit:
        raise QuantityError(f"{shown!r} has no unit; {_examples(dimension)}")
    return stripped[: match.start("unit")].strip(), value, _known_unit(unit, shown, dimension)


def _in_inches(both: re.Match[str], shown: str) -> tuple[str, float, str]:
    """Feet and inches as inches alone."""
    inches = sum(map(Fraction, both["inches"].split()))
    if inches >= _INCHES_IN_A_FOOT:
        raise QuantityError(f"{shown!r} has more inches than a foot; write it in inches alone")
    total = float(_INCHES_IN_A_FOOT * int(both["feet"]) + inches) * (-1 if both["sign"] in ("-", "−") else 1)
    return f"{total:.9g}", total, "in"


def format_quantity(value: float, unit: str, dimension: Dimension, digits: int = 4) -> str:
    """`value` [SI] as text in `unit`, to `digits` significant digits."""
    shown = float(f"{value / unit_worth(unit, dimension):.{digits}g}")
    return (
        f"{shown:,.{digits}f}".rstrip("0").rstrip(".") + f" {unit}"
        if abs(shown) >= 0.001 or shown == 0
        else f"{shown:g} {unit}"
    )


def _magnitude(match: re.Match[str], shown: str) -> float:
    if match["number"] is not None:
        value = float(match["number"])
    else:
        if int(match["bottom"]) == 0:
            raise QuantityError(f"{shown!r} divides by zero")
        value = float(Fraction(int(match["top"]), int(match["bottom"])) + int(match["whole"] or 0))
    if not math.isfinite(value):
        raise QuantityError(f"{shown!r} is not a finite number")
    return -value if match["sign"] in ("-", "−") else value


def _known_unit(unit: str, shown: str, dimension: Dimension) -> str:
    """The unit's own name, of whatever `unit` says without doubt."""
    allowed = _UNITS[dimension]
    plain = unit.casefold().rstrip(".")
    plain = _SPELLINGS.get(plain, plain)
    if dimension == "force" and plain == "lb":
        return "lbf"  # a rating in pounds is a force
    by_lower = {name.casefold(): name for name in allowed}
    if plain in by_lower:
        return by_lower[plain]
    hint = _FORCE_HINTS.get(plain) if dimension == "force" else None
    if hint is not None:
        raise QuantityError(f"{shown!r}: {hint}")
    elsewhere = next((name for name, units in _UNITS.items() if unit in units), None)
    if elsewhere is not None:
        raise QuantityError(
            f"{shown!r} is a {_words(elsewhere)}, a {_words(dimension)} is wanted; {_examples(dimension)}"
        )
    near = next(iter(get_close_matches(unit, allowed, 1)), None)
    suggestion = f"; did you mean {near!r}?" if near else ""
    raise QuantityError(f"{shown!r}: unknown unit {unit[:12]!r}; allowed: {', '.join(allowed)}{suggestion}")


_FORCE_HINTS: Final = {
    "kg": "a rating is a force; if the label says kilograms write kgf (pounds are lbf: 1 kgf is 2.2 lbf)",
    "t": "a rating is a force; if the label says tonnes write kN (1 t is 9.81 kN)",
}


def _refuse_classic_slips(shown: str, dimension: Dimension) -> None:
    if re.search(r"\d,\d", shown):
        dotted = re.sub(r"(\d),(\d)", r"\1.\2", shown)
        joined = re.sub(r"(\d),(\d)", r"\1\2", shown)
        raise QuantityError(f"{shown!r} has a comma; write {dotted!r} or {joined!r}, whichever is meant")
    if re.match(r"\s*[+\-−]?\s*(nan|inf)", shown, re.IGNORECASE):
        raise QuantityError(f"{shown!r} is not a finite number; {_examples(dimension)}")


_EXAMPLES: Final[dict[Dimension, str]] = {
    "length": "such as '3/4 in' or '18 mm'",
    "force": "such as '3333 lbf' or '15 kN'",
    "weight": "such as '1650 lb' or '750 kg'",
    "pressure": "such as '36 ksi' or '250 MPa'",
}


def _words(dimension: Dimension) -> str:
    return dimension.replace("_", " ")


def _examples(dimension: Dimension) -> str:
    return _EXAMPLES.get(dimension, f"in {', '.join(_UNITS[dimension])}")


def length(metres: float, units: UnitSystem) -> str:
    """Length [m]: inches as a mixed number where that is exact, else with decimals; millimetres to a tenth."""
    return f"{length_number(metres, units)} {units.length}"


def length_number(metres: float, units: UnitSystem) -> str:
    """Length [m] without its unit."""
    value = metres / unit_worth(units.length, "length")
    if units.name == "si":
        return f"{value + 0.0:.1f}".removesuffix(".0") if abs(value) >= 0.05 else "0"
    steps = round(value * _FINEST)
    if abs(value * _FINEST - steps) > 0.01:
        return f"{value:.3f}".rstrip("0").rstrip(".")
    whole, part = divmod(abs(steps), _FINEST)
    fraction = f"{Fraction(part, _FINEST)}" if part else ""
    sign = "-" if steps < 0 else ""
    return f"{sign}{whole} {fraction}".rstrip() if whole or not part else f"{sign}{fraction}"
