"""Quantities in and out, with pint's own registry as referee."""

from __future__ import annotations

import math
import re
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.units import _UNITS, QuantityError, format_quantity, parse_quantity, plain_quantity, unit_worth

# How pint's default registry spells the same units.
REFEREE = {
    "lbf": "force_pound", "kgf": "force_kilogram", "daN": "decanewton", "t": "metric_ton * standard_gravity",
    '"': "inch", "″": "inch", "'": "foot", "′": "foot",
    "in": "inch", "ft": "foot", "N m": "newton * meter", "lbf ft": "force_pound * foot",
    "lbf in": "force_pound * inch", "N/mm2": "newton / mm**2", "N/mm²": "newton / mm**2",
    "kg/m3": "kilogram / m**3 * standard_gravity", "lb/ft3": "force_pound / foot**3",
    "psf/in": "force_pound / foot**2 / inch", "in4/ft": "inch**4 / foot", "mm4/mm": "mm**3",
    "in3/ft": "inch**3 / foot", "mm3/mm": "mm**2", "in2/ft": "inch**2 / foot", "mm2/mm": "mm",
    "in3": "inch**3", "cm3": "cm**3", "in4": "inch**4", "cm4": "cm**4",
}  # fmt: skip
WEIGHT = {"lb": "force_pound", "lbs": "force_pound", "kg": "force_kilogram"}


@pytest.fixture(scope="module")
def referee() -> Any:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("dimension", "unit"), [(d, unit) for d, units in _UNITS.items() for unit in units])
def test_every_unit_is_worth_what_pint_says(dimension: Any, unit: str, referee: Any) -> None:
    spelled = WEIGHT.get(unit, REFEREE.get(unit, unit)) if dimension == "weight" else REFEREE.get(unit, unit)
    assert unit_worth(unit, dimension) == pytest.approx(
        referee.Quantity(1.0, spelled).to_base_units().magnitude, rel=1e-12
    )


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("3/4 in", "length", 0.01905),
        ("1 1/4 in", "length", 0.03175),
        ("1-1/4 in", "length", 0.03175),
        ("18mm", "length", 0.018),
        ("-2.5 ft", "length", -0.762),
        ("−2 in", "length", -0.0508),
        ("5'", "length", 1.524),
        ("5 1/2′", "length", 5.5 * 0.3048),
        ("1e3 N", "force", 1000.0),
        ("1650 lb", "weight", 1650 * 0.45359237 * 9.80665),
        ("0.199 in4/ft", "inertia_per_width", 0.199 * 0.0254**4 / 0.3048),
        ("5000 lb", "force", 5000 * 4.4482216152605),
        ("6000 LBS", "force", 6000 * 4.4482216152605),
        ("6000 LBF", "force", 6000 * 4.4482216152605),
        ("5 KN", "force", 5000.0),
        ("750 KG", "weight", 750 * 9.80665),
        ("1400 Pounds", "weight", 1400 * 4.4482216152605),
        ("4.5 inches", "length", 0.1143),
        ("1 Inch", "length", 0.0254),
        ("3/4 in.", "length", 0.01905),
        ("72''", "length", 1.8288),
        ("16 feet", "length", 4.8768),
        ("12'0\"", "length", 3.6576),
        ("5' 6\"", "length", 1.6764),
        ("5′6″", "length", 1.6764),
        ("5 ft 6 1/2 in", "length", 66.5 * 0.0254),
        ("5 FT 6 IN", "length", 1.6764),
        ("5'-6\"", "length", 1.6764),
        ("-5' 6", "length", -1.6764),
    ],
)  # fmt: skip
def test_texts_people_write(text: str, dimension: Any, value: float) -> None:
    assert parse_quantity(text, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "words"),
    [
        ("3,5 kN", "force", "comma"),
        ("1,650 lb", "weight", "'1.650 lb' or '1650 lb'"),
        ("nan kN", "force", "finite"),
        ("inf kN", "force", "finite"),
        ("1e400 N", "force", "finite"),
        ("3", "length", "no unit"),
        ("0", "length", "no unit"),
        ("", "force", "not a force"),
        ("5000 kg", "force", "kgf"),
        ("3 mm", "force", "is a length"),
        ("12 1.5 kN", "force", "two numbers"),
        ("1/0 in", "length", "divides by zero"),
        ("6' in", "length", "unknown unit"),
        ("500 Kg", "force", "write kgf"),
        ("500 KG", "force", "write kgf"),
        ("5 T", "force", "write kN"),
        ("5' 13\"", "length", "more inches than a foot"),
        ("5.5' 6\"", "length", "unknown unit"),
        ("12',0", "length", "unknown unit"),
        ("4,5 inches", "length", "write '4.5 inches'"),
        ("3 in 4", "length", "unit"),
        ("x" * 500, "length", "not a length"),
    ],
)
def test_what_is_refused_and_how(text: str, dimension: Any, words: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(words)) as caught:
        parse_quantity(text, dimension)
    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(
    ("text", "dimension", "number", "unit"),
    [
        ("6000 LBS", "force", "6000", "lbf"),
        ("1 1/4 Inches", "length", "1 1/4", "in"),
        ("12'0\"", "length", "144", "in"),
        ("-5' 6 1/2\"", "length", "-66.5", "in"),
        ("16'", "length", "16", "ft"),
        ("3/4 in", "length", "3/4", "in"),
        ("20 lbf ft", "torque", "20", "lbf ft"),
    ],
)
def test_the_plainest_spelling(text: str, dimension: Any, number: str, unit: str) -> None:
    assert plain_quantity(text, dimension) == (number, unit)
    assert parse_quantity(f"{number} {unit}", dimension) == pytest.approx(parse_quantity(text, dimension), rel=1e-12)


@pytest.mark.parametrize("dimension", _UNITS)
def test_capitals_are_never_in_doubt(dimension: Any) -> None:
    """No two units of one dimension differ by their capitals alone and in worth."""
    for one in _UNITS[dimension]:
        for other in _UNITS[dimension]:
            if one.casefold() == other.casefold():
                assert unit_worth(one, dimension) == unit_worth(other, dimension)


@given(st.floats(1e-6, 1e9), st.sampled_from(sorted(_UNITS["force"])))
def test_a_quantity_written_out_reads_back(value: float, unit: str) -> None:
    text = f"{value / unit_worth(unit, 'force')!r} {unit}"
    assert parse_quantity(text, "force") == pytest.approx(value, rel=1e-12)


@given(st.text(max_size=70))
def test_any_text_is_read_or_refused_but_never_breaks(text: str) -> None:
    try:
        value = parse_quantity(text, "length")
    except QuantityError:
        return
    assert math.isfinite(value)


def test_figures_for_people() -> None:
    assert format_quantity(10360 * 4.4482216152605, "lb", "weight") == "10,360 lb"
    assert format_quantity(0.00254, "in", "length") == "0.1 in"
