"""Quantities in, quantities out: text with a unit at the edges, plain SI floats inside.

The text is read by a pattern of our own, because a general parser of units reads
``3,5 kN`` as 35 kN and takes ``nan kN`` for a number. What a unit is worth is a plain factor here: a registry
of units takes longer to wake up than a whole scenario to read.
"""

from __future__ import annotations

import math
import re
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, Literal

from msgspec import Struct

Dimension = Literal[
    "length", "force", "weight", "pressure", "torque",
    "weight_density", "inertia_per_width", "modulus_per_width", "area_per_width", "section_modulus", "inertia",
    "angle",
]  # fmt: skip

STANDARD_GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s²] (ISO 80000-3, exact)."""

# Exact: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
_IN: Final = 0.0254
_FT: Final = 12 * _IN
_KGF: Final = STANDARD_GRAVITY
_LBF: Final = 0.45359237 * STANDARD_GRAVITY

# What a person may write for each dimension, and its worth in SI; pint is the tests' referee.
_UNITS: Final[dict[Dimension, dict[str, float]]] = {
    "length": {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": _IN, "ft": _FT, '"': _IN, "″": _IN, "'": _FT, "′": _FT},
    "force": {"N": 1.0, "daN": 10.0, "kN": 1e3, "lbf": _LBF, "kgf": _KGF},
    "weight": {
        "lb": _LBF, "lbs": _LBF, "kg": _KGF, "t": 1e3 * _KGF,
        "N": 1.0, "daN": 10.0, "kN": 1e3, "lbf": _LBF, "kgf": _KGF,
    },
    "pressure": {
        "Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "N/mm2": 1e6, "N/mm²": 1e6,
        "psi": _LBF / _IN**2, "ksi": 1e3 * _LBF / _IN**2,
    },
    "torque": {"N m": 1.0, "lbf ft": _LBF * _FT, "lbf in": _LBF * _IN},
    "weight_density": {"kg/m3": _KGF, "lb/ft3": _LBF / _FT**3, "psf/in": _LBF / _FT**2 / _IN},
    "inertia_per_width": {"in4/ft": _IN**4 / _FT, "mm4/mm": 1e-9},
    "modulus_per_width": {"in3/ft": _IN**3 / _FT, "mm3/mm": 1e-6},
    "area_per_width": {"in2/ft": _IN**2 / _FT, "mm2/mm": 1e-3},
    "section_modulus": {"in3": _IN**3, "cm3": 1e-6},
    "inertia": {"in4": _IN**4, "cm4": 1e-8},
    "angle": {"deg": math.pi / 180, "°": math.pi / 180},
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


class UnitSystem(Struct, frozen=True):
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


def unit_worth(unit: str, dimension: Dimension) -> float:
    """Worth of one `unit` in the SI base of `dimension` [N, m, Pa, N·m, N/m³ and their kin]."""
    return _UNITS[dimension][unit]


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


def told_of_comma(shown: str) -> str:
    """What to say of a number with a comma: it stands for a point, between thousands for nothing, or nobody knows."""
    meant = [shown.replace(",", ".")] if shown.count(",") == 1 else []
    if not meant or re.search(r"(?<!\d)[1-9]\d{0,2},\d{3}(?!\d)", shown):
        meant.append(shown.replace(",", ""))
    which = ", whichever is meant" if len(meant) > 1 else ""
    return f"{shown!r} has a comma; write {' or '.join(map(repr, meant))}{which}"


def _refuse_classic_slips(shown: str, dimension: Dimension) -> None:
    if re.search(r"\d,\d", shown):
        raise QuantityError(told_of_comma(shown))
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


def length_twice(metres: float, units: UnitSystem) -> tuple[str, str]:
    """Length [m] in the user's own unit, and in the other one in brackets."""
    first, second = (US, SI) if units is US else (SI, US)
    return length(metres, first), f"({length(metres, second)})"


def in_both(metres: float, units: UnitSystem) -> str:
    """The two of `length_twice` in a row."""
    return " ".join(length_twice(metres, units))


def both_lengths(metres: float) -> str:
    """Length [m] in inches and millimetres, for words that are made before anybody has asked in which."""
    inches = metres / _IN
    shown = f"{inches:.3g}" if abs(inches) < 999.5 else f"{inches:.0f}"
    return f"{shown} in ({1000 * metres:.0f} mm)"
