"""What is usual for the quantities of a scenario, as a typed row."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from anchorcalc.catalog.rows import Row
from anchorcalc.units import Dimension, parse_quantity


class UsualRange(Row):
    """What is usual for a quantity; outside it is warned about."""

    least: str
    most: str
    dimension: Dimension

    def limits(self) -> tuple[float, float]:
        """The two ends in SI."""
        return parse_quantity(self.least, self.dimension), parse_quantity(self.most, self.dimension)

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        least, most = self.limits()
        if least > most:
            raise ValueError("least is greater than most")
        return self
