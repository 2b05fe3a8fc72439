"""What the tables' figures may be: quantities with their units and ends, plain numbers, counts; SI floats inside."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic.fields import FieldInfo

from anchorcalc.units import Dimension, parse_quantity


class Frozen(BaseModel):
    """What is read from a file: frozen, with no keys but its own, built when it is first asked for."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def reader(dimension: Dimension, least: str | None = None, most: str | None = None) -> BeforeValidator:
    """Reads a text with a unit of `dimension`; what is more than nothing lies between `least` and `most`."""

    def read(value: object) -> float:
        if not isinstance(value, str):
            raise ValueError(f"a {dimension} with its unit is wanted, not {value!r}")
        found = parse_quantity(value, dimension)
        if most is not None and found > _limit(most, dimension):
            raise ValueError(f"{value!r} is more than there is; allowed: up to {most}")
        if least is not None and 0 < found < _limit(least, dimension):
            raise ValueError(f"{value!r} is less than there is; allowed: from {least}")
        return found

    return BeforeValidator(read)


@cache
def _limit(text: str, dimension: Dimension) -> float:
    return parse_quantity(text, dimension)


POSITIVE: Final = Field(gt=0, allow_inf_nan=False)
NOT_NEGATIVE: Final = Field(ge=0, allow_inf_nan=False)


def between(least: float, most: float) -> FieldInfo:
    """A plain number."""
    found: FieldInfo = Field(ge=least, le=most, allow_inf_nan=False)
    return found


# The ends refuse what no part of a trailer can be [judgement]; what is sold lies well within them.
Length = Annotated[float, reader("length", "0.01 mm", "10 m"), POSITIVE]
PanelThickness = Annotated[float, reader("length", "3 mm", "150 mm"), POSITIVE]
Diameter = Annotated[float, reader("length", "1 mm", "60 mm"), POSITIVE]
Side = Annotated[float, reader("length", "10 mm", "500 mm"), POSITIVE]
Wall = Annotated[float, reader("length", "0.5 mm", "50 mm"), POSITIVE]
Force = Annotated[float, reader("force", "10 N", "1000 kN"), POSITIVE]
ForceOrNone = Annotated[float, reader("force", None, "50 kN"), NOT_NEGATIVE]
Weight = Annotated[float, reader("weight", "1 kg", "60000 kg"), POSITIVE]
BendingStrength = Annotated[float, reader("pressure", "1 MPa", "150 MPa"), POSITIVE]
ShearStrength = Annotated[float, reader("pressure", "0.05 MPa", "20 MPa"), POSITIVE]
AcrossStrength = Annotated[float, reader("pressure", "0.1 MPa", "50 MPa"), POSITIVE]
DowelStrength = Annotated[float, reader("pressure", "1 MPa", "100 MPa"), POSITIVE]
WoodStiffness = Annotated[float, reader("pressure", "0.5 GPa", "30 GPa"), POSITIVE]
WoodDensity = Annotated[float, reader("weight_density", "100 kg/m3", "1500 kg/m3"), POSITIVE]
SteelStress = Annotated[float, reader("pressure", "50 MPa", "2.5 GPa"), POSITIVE]
SteelStiffness = Annotated[float, reader("pressure", "40 GPa", "250 GPa"), POSITIVE]
Density = Annotated[float, reader("weight_density", "1000 kg/m3", "25000 kg/m3"), POSITIVE]
SectionI = Annotated[float, reader("inertia_per_width"), NOT_NEGATIVE]
SectionS = Annotated[float, reader("modulus_per_width"), NOT_NEGATIVE]
SectionIbQ = Annotated[float, reader("area_per_width"), NOT_NEGATIVE]
Modulus = Annotated[float, reader("section_modulus"), POSITIVE]
Gravity = Annotated[float, between(0.2, 1.2)]
Scatter = Annotated[float, between(0, 0.5)]
Share = Annotated[float, between(0, 1)]
Count = Annotated[int, Field(ge=1, le=50)]
