"""Formulas and the numbers that went into them, set as MathML: f_h = 34.7 MPa with its index where it belongs."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING

from anchorcalc.render.figures import figure

if TYPE_CHECKING:
    from anchorcalc.result import Figure
    from anchorcalc.units import UnitSystem


def equation(shown: Figure, units: UnitSystem) -> str:
    """`symbol = value unit`, hovering over it tells what it is."""
    value = figure(shown, units)
    number, _, unit = value.rpartition(" ")
    if not unit or unit[-1].isdigit():
        number, unit = value, ""
    tail = f'<mspace width="0.2em"/><mtext>{escape(unit)}</mtext>' if unit else ""
    inside = f"{symbol(shown.symbol)}<mo>=</mo><mn>{escape(number)}</mn>{tail}"
    return f'<math title="{escape(shown.what)}">{inside}</math>'


def formula(text: str) -> str:
    """`text` of a formula, its symbols with an index set as such, all else as it stands."""
    parts, start = [], 0
    for match in re.finditer(r"[^\W\d_]+'?_[^\W_]+", text):
        parts += [escape(text[start : match.start()]), f"<math>{symbol(match[0])}</math>"]
        start = match.end()
    return "".join([*parts, escape(text[start:])])


def symbol(text: str) -> str:
    """A symbol such as D_eff or d'_w; a plain word stays upright."""
    base, _, index = text.partition("_")
    primes = len(base) - len(base.rstrip("'"))
    base = base.rstrip("'")
    whole = f"<mi>{escape(base)}</mi>" if re.fullmatch(r"\w", base) else f"<mtext>{escape(base)}</mtext>"
    if primes:
        whole = f"<msup>{whole}<mo>{'′' * primes}</mo></msup>"
    return f"<msub>{whole}<mtext>{escape(index)}</mtext></msub>" if index else whole
