"""What people type, understood: each kind of answer as the text that goes into the file, or a `Slip`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, Final, Literal

from pydantic import TypeAdapter, ValidationError

from anchorcalc.names import meant
from anchorcalc.scenario import quantities
from anchorcalc.units import Dimension, QuantityError, parse_quantity, plain_quantity, unit_worth

Units = Literal["us", "si"]

NOT_KNOWN: Final = frozenset(
    {"don't know", "don\u2019t know", "dont know", "do not know", "not known", "unknown", "dk"}
)
_DIMENSIONS: Final[dict[str, Dimension]] = {"Weight": "weight", "Rating": "force", "Tension": "force", "Turn": "angle"}
# What a number alone is in; a metric one of a force is not read, for labels have daN, kN and kg.
_UNIT_MEANT: Final[dict[Units, dict[str, str]]] = {
    "us": {"length": " in", "weight": " lb", "force": " lbf", "angle": " deg"},
    "si": {"length": " mm", "weight": " kg", "angle": " deg"},
}
_FINEST: Final = {"in": 3, "mm": 1}  # decimals of a length that was worked out
_NUMBER_ALONE: Final = re.compile(r"[+\-−]?\s*[\d.][\d\s./-]*")
_IN_THOUSANDS: Final = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")
_WORKING: Final = re.compile(r"\b(?:wll|swl|lc|rated|working(?:\s+load)?(?:\s+limit)?)\b", re.IGNORECASE)
_BREAKING: Final = re.compile(r"\b(?:m?bs|mb[lf]|break\w*(?:\s+strength)?|ultimate)\b", re.IGNORECASE)
_FORCE: Final = re.compile(r"(?:lbf|kgf|da?n|kn|n)\b", re.IGNORECASE)
_LONGEST_NAME: Final = 80
_MOST_DIGITS: Final = 4


class Slip(ValueError):  # noqa: N818 - says what it is
    """An answer that will not do; the message says why and what would."""


@cache
def quantity(text: str, kind: str, units: Units) -> str:
    """A quantity of the model's type `kind`; a number alone is in `units`, commas between thousands of pounds go."""
    dimension = _DIMENSIONS.get(kind, "length")
    plain = text.strip()
    if units == "us" and dimension != "length":
        plain = _IN_THOUSANDS.sub(lambda found: found[0].replace(",", ""), plain)
    if _NUMBER_ALONE.fullmatch(plain):
        plain += _UNIT_MEANT[units].get(dimension, "")
    try:
        plain = " ".join(plain_quantity(plain, dimension))
    except QuantityError as error:
        raise Slip(str(error)) from None
    return _allowed(plain, kind)


def plain_number(text: str) -> str:
    """A number without a unit, such as a friction."""
    return _allowed(text, "Friction")


def _allowed(text: str, kind: str) -> str:
    """`text`, if it will do for the model's type `kind`."""
    try:
        _adapter(kind).validate_python(text)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raise Slip(str(first.get("ctx", {}).get("error", first["msg"]))) from None
    return text


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    return TypeAdapter(getattr(quantities, kind))


def metres(text: str) -> float:
    """A length that was understood [m]."""
    return parse_quantity(text, "length")


def place(value: float, units: Units) -> str:
    """A length [m] that was worked out, as text in `units`."""
    unit = "in" if units == "us" else "mm"
    shown = f"{value / unit_worth(unit, 'length'):.{_FINEST[unit]}f}".rstrip("0").rstrip(".")
    return f"{'0' if shown == '-0' else shown} {unit}"


def mark(text: str, units: Units) -> str:
    """A rating with what it means, as `WLL 1666 lbf` or `breaking 5000 lbf`; without a word it is the weaker."""
    working, breaking = _WORKING.search(text), _BREAKING.search(text)
    if working and breaking:
        raise Slip("one of the two only: the working load limit, where it is marked")
    number = _BREAKING.sub("", _WORKING.sub("", text)).strip(" \t:=;,-()")
    return f"{'WLL' if working else 'breaking'} {quantity(number, 'Rating', units)}"


def push(text: str, units: Units) -> str:
    """What a chock holds back, as a working limit: named so, or in a unit of force and of nothing else."""
    if _BREAKING.search(text) or not (_WORKING.search(text) or _FORCE.search(text)):
        raise Slip(
            "a weight printed on a chock is of what may stand in it, not what it holds back: write WLL before a force "
            "that its maker rates it for in daily use, or don't know"
        )
    return quantity(_WORKING.sub("", text).strip(" \t:=;,-()"), "Rating", units)


def share(text: str, weight: str) -> str:
    """Part of `weight`, in per cent or as a weight, in per cent."""
    number = text.removesuffix("%").strip()
    try:
        in_per_cent = re.fullmatch(r"\d{1,3}(\.\d+)?", number)
        part = 0.0 if in_per_cent else parse_quantity(text, "weight") / parse_quantity(weight, "weight")
    except QuantityError as error:
        raise Slip(f"{error}, or per cent: 45 %") from None
    percent = float(number) if in_per_cent else 100 * part
    if not 0.0 <= percent <= 100.0:
        raise Slip(f"{text[:40]!r} is not between nothing and all of its weight")
    return f"{percent:.4g} %"


def joints(text: str, units: Units) -> str:
    """Places apart by commas, or none."""
    if text.casefold() in ("none", "no"):
        return "none"
    return ", ".join(quantity(part, "Place", units) for part in text.split(","))


def name(text: str) -> str:
    """A name of the user's own."""
    if len(text) > _LONGEST_NAME:
        raise Slip(f"longer than {_LONGEST_NAME} characters; a short name will do")
    if not text.isprintable() or text == "<<":
        raise Slip("letters, digits and ordinary signs only, please")
    return text


def choice(text: str, choices: Sequence[str], words: Mapping[str, str]) -> str:
    """One of `choices`: the word, its number in the list, another word for it, or a beginning that fits only one."""
    if text in choices:
        return text
    if (number := whole_number(text, 1, len(choices))) is not None:
        return choices[number - 1]
    plain = text.casefold()
    for typed in (plain, re.sub(r"\s*(?:in|inch|inches|\")\.?$", "", plain), f"#{plain}"):
        same = [each for each in choices if typed in (each.casefold(), f"{each.casefold()}s")]
        if same or typed in words:
            return same[0] if same else words[typed]
        begins = [each for each in choices if typed and each.casefold().startswith(typed)]
        if len(begins) == 1:
            return begins[0]
        if begins:
            raise Slip(f"{text[:40]!r} may be {', '.join(begins[:6])}; write it out, or give its number")
    holding = [each for each in choices if plain.replace(" ", "").isalpha() and plain in each.casefold()]
    if len(holding) == 1:
        return holding[0]
    hint = meant(text, choices, holding)
    raise Slip(f"{text[:40]!r} is not in the list{'; ? shows it' if hint == '.' else hint}")


def whole_number(text: str, least: int, most: int) -> int | None:
    """`text` as a whole number from `least` to `most`, None if it is none."""
    if not (text.isascii() and text.isdigit() and len(text) <= _MOST_DIGITS):
        return None
    return int(text) if least <= int(text) <= most else None
