"""What the quantities of a scenario may be: texts with units that become SI floats within their physical range."""

from __future__ import annotations

import re
from collections.abc import Callable
from math import ceil, floor, log10, pi
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, PlainValidator, TypeAdapter, WithJsonSchema

from anchorcalc.catalog.values import Frozen
from anchorcalc.names import ShortName
from anchorcalc.units import Dimension, parse_quantity, plain_quantity, unit_worth


class Part(Frozen):
    """A part of a scenario."""


def _reader(dimension: Dimension, least: float, most: float, *, least_allowed: bool = True) -> BeforeValidator:
    """Reads a text with a unit of `dimension`, between `least` and `most` [SI]."""
    return BeforeValidator(_read_within(dimension, least, most, least_allowed=least_allowed))


def _read_within(
    dimension: Dimension, least: float, most: float, *, least_allowed: bool = True
) -> Callable[[Any], float]:
    def read(text: Any) -> float:
        if not isinstance(text, str):
            raise ValueError(f"a {dimension} is wanted here: a number and a unit")
        value = parse_quantity(text, dimension)
        if value > most or value < least or (value == least and not least_allowed):
            _, unit = plain_quantity(text, dimension)
            relation = "from" if least_allowed else "more than"
            low, high = _limit(least, unit, dimension, ceil), _limit(most, unit, dimension, floor)
            raise ValueError(f"{text!r} is out of range; allowed: {relation} {low} to {high}")
        return value

    return read


def _limit(value: float, unit: str, dimension: Dimension, whole: Callable[[float], int]) -> str:
    """`value` [SI] in `unit` to four digits, made `whole` in the last so that what is shown is allowed itself."""
    shown = value / unit_worth(unit, dimension)
    step = 10.0 ** (floor(log10(abs(shown))) - 3) if shown else 1.0
    return f"{whole(round(shown / step, 6)) * step:.10g} {unit}"


def _schema(dimension: Dimension) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "format": dimension, "description": f"{dimension} with its unit"})


def _ratio_reader(most: float) -> BeforeValidator:
    def read(text: Any) -> float:
        try:
            value = float(text) if isinstance(text, str) and "_" not in text else float("nan")
        except ValueError:
            value = float("nan")
        if not 0.0 <= value <= most:
            raise ValueError(f"{text!r} is not a plain number from 0 to {most:g}")
        return value

    return BeforeValidator(read)


def whole(text: Any) -> int:
    """A whole number, written as one."""
    if isinstance(text, str) and re.fullmatch(r"[0-9]{1,3}", text):
        return int(text)
    raise ValueError(f"{text!r} is not a whole number")


_LENGTH, _FORCE, _WEIGHT = _schema("length"), _schema("force"), _schema("weight")

_PLACES: Final = (-30.0, 30.0)
_HEIGHTS: Final = (0.0, 5.0)
_SMALL: Final = (0.002, 1.5)

Place = Annotated[float, _reader("length", *_PLACES), _LENGTH]
Extent = Annotated[float, _reader("length", 0.0, 30.0, least_allowed=False), _LENGTH]
RailsApart = Annotated[float, _reader("length", 0.3, 30.0), _LENGTH]
Height = Annotated[float, _reader("length", *_HEIGHTS), _LENGTH]
Thickness = Annotated[float, _reader("length", 0.0003, 0.15), _LENGTH]
SmallExtent = Annotated[float, _reader("length", *_SMALL), _LENGTH]
BaseExtent = Annotated[float, _reader("length", _SMALL[0], 3.1), _LENGTH]
"""Side of a base: of a track as long as they are sold."""
Rating = Annotated[float, _reader("force", 10.0, 1.0e6), _FORCE]
Tension = Annotated[float, _reader("force", 0.0, 5.0e4), _FORCE]
Weight = Annotated[float, _reader("weight", 10.0, 5.0e5), _WEIGHT]
Friction = Annotated[
    float, _ratio_reader(1.0), WithJsonSchema({"type": ["number", "string"], "description": "plain number from 0 to 1"})
]

Point2 = tuple[Place, Place]
Point3 = tuple[Place, Place, Height]
Size2 = tuple[SmallExtent, SmallExtent]
Turn = Annotated[float, _reader("angle", -pi, pi), _schema("angle")]


def size_told(given: Any) -> bool:
    """Whether a length and a width were given as a list of two, each sound; refused where it is another list."""
    if not isinstance(given, list | tuple):
        return False
    if len(given) != 2:
        raise ValueError("a length and a width are wanted here: two of them")
    for side in given:
        _read_within("length", *_SMALL)(side)
    return True


_NAME: Final = TypeAdapter(ShortName)
_PATH_POINT: Final = {
    "description": "name of a tie point, or x, y, z",
    "anyOf": [
        {"type": "string"},
        {"type": "array", "prefixItems": [{"type": "string"}] * 3, "minItems": 3, "maxItems": 3},
    ],
}


def _path_point(value: Any) -> str | tuple[float, float, float]:
    """The name of a tie point, or a place."""
    if isinstance(value, str):
        return _NAME.validate_python(value)
    if not isinstance(value, (list, tuple)) or len(value) != 3:
        raise ValueError("a point that a strap runs over is the name of a tie point, or its place: [x, y, z]")
    place, height = _read_within("length", *_PLACES), _read_within("length", *_HEIGHTS)
    return place(value[0]), place(value[1]), height(value[2])


PathPoint = Annotated[str | tuple[float, float, float], PlainValidator(_path_point), WithJsonSchema(_PATH_POINT)]
