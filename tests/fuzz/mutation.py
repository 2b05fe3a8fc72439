"""Files made wrong on purpose: scenarios, answers and tables, by bytes, by structure and by numbers.

Everything is drawn from the generator given, so a seed gives the same mutant again.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any, NamedTuple

from anchorcalc.scenario.writer import scenario_text

Path = tuple[str | int, ...]


class Mutant(NamedTuple):
    """A changed file; `impossible` says that a quantity in it is what nothing on a trailer can be."""

    data: bytes
    what: str
    impossible: bool = False


# Wider than what the program takes on purpose: by its own physics, not by the program's limits.
# Units and the ends of what can be, by key; a place on the deck has no name and goes by LENGTHS.
LIMITS: dict[str, tuple[str, float, float]] = {
    "weight": ("kg", 1.0, 200_000.0),
    "empty_weight": ("kg", 1.0, 200_000.0),
    "gross_rating": ("kg", 1.0, 200_000.0),
    "rated": ("kN", 0.001, 5_000.0),
    "breaking": ("kN", 0.001, 5_000.0),
    "rated_flat": ("kN", 0.001, 5_000.0),
    "hand_tension": ("kN", 0.0, 200.0),
    "thickness": ("mm", 0.05, 500.0),
    "base_thickness": ("mm", 0.05, 500.0),
    "pull_height": ("mm", 0.0, 10_000.0),
    "spacing": ("mm", 3.0, 10_000.0),
    "first_at": ("mm", 0.0, 50_000.0),
    "rails": ("mm", 150.0, 50_000.0),
    "outside": ("mm", 0.5, 10_000.0),
    "square": ("mm", 0.5, 10_000.0),
    "width": ("mm", 0.5, 50_000.0),
    "length": ("mm", 0.5, 50_000.0),
    "at": ("mm", -60_000.0, 60_000.0),
    "centre_of_gravity": ("mm", -60_000.0, 60_000.0),
    "base": ("mm", 0.5, 10_000.0),
    "foot": ("mm", 0.5, 10_000.0),
    "weld": ("mm", 0.05, 500.0),
    "breadth": ("mm", 0.5, 10_000.0),
    "depth": ("mm", 0.5, 10_000.0),
    "plank_width": ("mm", 0.5, 10_000.0),
    "size": ("mm", 0.5, 10_000.0),
}
NEVER = (
    "nan in",
    "inf lbf",
    "-inf kN",
    "1e400 mm",
    "1e309 lb",
    "3 in 4",
    "0/0 in",
    "1/0 in",
    "- in",
    "--1 in",
    "1,5 kN",
)
_UNITS = ("in", "mm", "m", "ft", "lbf", "kN", "lb", "kg", "deg", "", "%", "psi", "IN", "kn")
_NUMBERS = (
    "0", "-0", "1", "-1", "1e-300", "1e300", "1e-5", "1e5", "3", "1/3", "2 7/8", "1e308", "99999999999999999999",
    ".5", "5.", "+2", "１", "0x10", "1_000", "−3",
)  # fmt: skip
_WORDS = (
    "", " ", "null", "~", "yes", "[]", "{}", "!!int 1", "&a b", "*a", "<<", "a: b", "- a", "#", "'", '"', "\t",
    "\u00a0", "\u2028", "\x00", "\x1b[31m", "\ufeff", "\U0001f600", "x" * 300, "front left", "plate", "bolt", "member",
    "bridge", "all", "both", "over", "chain", "re-driven", "decayed", "glued", "none", "../x", "{{7*7}}", "%s%n",
)  # fmt: skip
_NOT_ON_EARTH = ("-1", "-1e-9", "nan", "inf", "-inf", "1e400", "1e30")
_BYTES = (
    b"\x00", b"\xff", b"\xc3", b"\r", b"\n", b"\t", b":", b"{", b"}", b"[", b"]", b"-", b"#", b"&", b"*", b"!", b"|",
    b"'", b'"', b",", b"0", b"9", b"e", b".", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\xe2\x80\xae",
)  # fmt: skip


def by_bytes(data: bytes, random: Random) -> Mutant:
    """A few cuts, copies, strays and flips."""
    changed = bytearray(data)
    for _ in range(random.choice((1, 1, 1, 2, 4, 16))):
        start = random.randrange(len(changed) + 1)
        end = min(start + random.choice((1, 1, 2, 8, 60, 400)), len(changed))
        match random.randrange(5):
            case 0:
                del changed[start:end]
            case 1:
                changed[start:start] = changed[start:end] * random.choice((1, 1, 3))
            case 2:
                changed[start:start] = random.choice(_BYTES)
            case 3 if start < len(changed):
                changed[start] ^= 1 << random.randrange(8)
            case _:
                other = random.randrange(len(changed) + 1)
                changed[start:end] = changed[other : other + end - start]
    return Mutant(bytes(changed), "bytes")


def by_lines(data: bytes, random: Random) -> Mutant:
    """Lines lost, doubled, moved, set in or out, or joined."""
    lines = data.split(b"\n")
    for _ in range(random.choice((1, 1, 2, 3))):
        at = random.randrange(len(lines))
        match random.randrange(5):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, lines[at])
            case 2:
                lines.insert(random.randrange(len(lines)), lines.pop(at))
            case 3:
                lines[at] = b" " * random.randrange(5) + lines[at].lstrip()
            case _:
                lines[at : at + 2] = [b" ".join(lines[at : at + 2])]
        lines = lines or [b""]
    return Mutant(b"\n".join(lines), "lines")


def by_structure(texts: dict[str, Any], random: Random) -> Mutant:
    """A value taken away, moved elsewhere, put under another key, or of another kind."""
    changed = copy.deepcopy(texts)
    for _ in range(random.choice((1, 1, 2))):
        places = list(paths(changed))
        path = random.choice(places)
        holder, step = _at(changed, path[:-1]), path[-1]
        match random.randrange(6):
            case 0:
                del holder[step]
            case 1:
                holder[step] = copy.deepcopy(_at(changed, random.choice(places)))
            case 2:
                holder[step] = random.choice(_WORDS)
            case 3:
                holder[step] = random.choice(([], {}, [""], {"": ""}, [holder[step]], {"at": holder[step]}))
            case 4 if isinstance(holder, dict):
                holder[random.choice((*_WORDS, *(str(p[-1]) for p in places)))] = holder.pop(step)
            case _ if isinstance(holder, list):
                holder.insert(0, copy.deepcopy(holder[step]))
    return Mutant(_written(changed), "structure")


def by_numbers(texts: dict[str, Any], random: Random) -> Mutant:
    """One quantity replaced by an odd one."""
    changed = copy.deepcopy(texts)
    path = random.choice([path for path in paths(changed) if isinstance(_at(changed, path), str)])
    value = f"{random.choice(_NUMBERS)} {random.choice(_UNITS)}".strip()
    _at(changed, path[:-1])[path[-1]] = value
    return Mutant(_written(changed), f"{path}: {value}")


def by_scale(texts: dict[str, Any], random: Random) -> Mutant:
    """One quantity far out, or just out, of what can be; or within it but elsewhere."""
    changed = copy.deepcopy(texts)
    path = random.choice([path for path in paths(changed) if limits_at(changed, path) is not None])
    limits = limits_at(changed, path)
    assert limits is not None
    if random.random() < 0.1:
        value, impossible = random.choice(NEVER), True
    else:
        number, impossible = _drawn(limits, random)
        value = f"{number:.6g} {limits[0]}"
    _at(changed, path[:-1])[path[-1]] = value
    return Mutant(_written(changed), f"{path}: {value}", impossible)


def by_plausible(texts: dict[str, Any], random: Random) -> Mutant:
    """Several quantities somewhat larger or smaller, and words of the right kind in place of others."""
    changed, what = plausibly(texts, random)
    return Mutant(_written(changed), "; ".join(what))


def plausibly(texts: dict[str, Any], random: Random) -> tuple[dict[str, Any], list[str]]:
    """A scenario changed as `by_plausible` does, and what was changed."""
    changed = copy.deepcopy(texts)
    quantities = [path for path in paths(changed) if limits_at(changed, path) is not None]
    words = [path for path in paths(changed) if path[-1] in WORDS_AT and isinstance(_at(changed, path), str)]
    what = []
    for _ in range(random.choice((1, 2, 3, 6))):
        path = random.choice(quantities if random.random() < 0.7 else words)
        old = _at(changed, path)
        value, unit = in_parts(old) if path in quantities else (0.0, "")
        if unit:
            scaled = value * random.choice((0.0, 0.3, 0.8, 0.95, 1.05, 1.3, 3.0))
            limits = limits_at(changed, path)
            if scaled == 0.0 and limits is not None and limits[1] > 0:
                scaled = value
            new = f"{scaled:.5g} {unit}"
        else:
            new = random.choice(WORDS_AT.get(path[-1], (old,)))
        _at(changed, path[:-1])[path[-1]] = new
        what.append(f"{path}: {new}")
    return changed, what


def in_parts(quantity: str) -> tuple[float, str]:
    """Number and unit of a quantity written as people do."""
    number, unit = re.fullmatch(r"([-\d ./]+?) ?([a-zA-Z]*)", quantity).groups()  # type: ignore[union-attr]
    value = float(sum(Fraction(part) for part in number.removeprefix("-").split()))
    return -value if number[0] == "-" else value, unit


WORDS_AT: dict[str | int, tuple[str, ...]] = {
    "rules": ("us-road", "eu-road", "nz-road", "au-road", "ca-road"),
    "units": ("us", "si"),
    "panel": ("softwood-plywood", "osb", "birch-plywood", "sawn-planks"),
    "condition": ("sound", "weathered", "wet", "decayed"),
    "face_grain": ("along", "across"),
    "layers_joined": ("loose", "screwed", "glued"),
    "section": ("tube-2x2x1/8", "angle-2x2x3/16", "angle-3x2x3/16", "channel-3x4.1", "tube-2x3x1/8"),
    "steel": ("mild", "A36", "6061-T6-welded", "S355"),
    "grade": ("SAE 2", "SAE 5", "A307 A", "70", "43"),
    "through": ("front", "rear", "all"),
    "route": ("direct", "over"),
    "mounting": ("plated", "bridge bars", "four screws", "plate", "six screws", "through the angle"),
    "to": ("front left", "rear left", "front right", "rear right"),
    "anchor": ("front left", "rear left", "front right", "rear right"),
}


def _drawn(limits: tuple[str, float, float], random: Random) -> tuple[float, bool]:
    _, low, high = limits
    match random.randrange(4):
        case 0:
            return high * random.choice((1.01, 3.0, 1e3, 1e9, 1e100)), True
        case 1:
            step = abs(low) or 1.0
            return low - step * random.choice((0.01, 0.5, 3.0, 1e6)) - 0.001, True
        case 2 if low > 0:
            return 0.0, True
        case _:
            return random.uniform(low, high) if random.random() < 0.5 else low + (
                high - low
            ) * random.random() ** 6, False


def limits_at(texts: Any, path: Path) -> tuple[str, float, float] | None:
    """Unit and ends of what the quantity at `path` can be, if it is one."""
    value = _at(texts, path)
    if not isinstance(value, str) or not re.match(r"[-.\d]", value):
        return None
    key = path[-1] if isinstance(path[-1], str) else next((s for s in reversed(path) if isinstance(s, str)), "")
    if key == "size" and "fasteners" in path:
        return None
    return LIMITS.get(key)


def of_answers(lines: list[str], random: Random) -> Mutant:
    """A file of answers with one or two of them wrong, lost, doubled or swapped."""
    changed = list(lines)
    impossible = False
    what = []
    for _ in range(random.choice((1, 1, 1, 2))):
        at = random.randrange(len(changed))
        match random.randrange(6):
            case 0:
                changed[at] = random.choice((*NEVER, *_WORDS, "don't know", "back", "?", "stop"))
            case 1:
                changed[at] = f"{random.choice(_NUMBERS)} {random.choice(_UNITS)}"
            case 2 if re.fullmatch(r"\d[\d ./]* (lb|lbf|kg|kN|N)", changed[at]):
                changed[at] = random.choice(("-5 {}", "1e12 {}", "nan {}")).format(changed[at].split()[-1])
                impossible = True
            case 3:
                changed[at] = changed[random.randrange(len(changed))]
            case 4:
                changed.insert(at, random.choice(changed))
            case _:
                del changed[at]
        what.append(f"line {at + 1}")
        changed = changed or [""]
    data = "\n".join(changed).encode("utf-8", "surrogatepass") + b"\n"
    return by_bytes(data, random) if random.random() < 0.15 else Mutant(data, ", ".join(what), impossible)


def of_table(rows: Any, random: Random, written: Callable[[Any], bytes]) -> Mutant:
    """A table with its bytes, its structure or one of its figures changed."""
    kind = random.randrange(4)
    if kind == 0:
        return random.choice((by_bytes, by_lines))(written(rows), random)
    changed = copy.deepcopy(rows)
    figures = [path for path in paths(changed) if _is_figure(_at(changed, path)) and path[-1] not in ("name", "up_to")]
    if kind == 1 or not figures:
        path = random.choice(list(paths(changed)))
        _at(changed, path[:-1])[path[-1]] = random.choice((*_WORDS, [], {}, ["1 in"], {"a": "b"}, None, True, 2.5))
        return Mutant(written(changed), f"{path}")
    path = random.choice(figures)
    unit = _at(changed, path).lstrip("0123456789./eE+- ")
    value = f"{random.choice(_NOT_ON_EARTH)} {unit}"
    _at(changed, path[:-1])[path[-1]] = value
    return Mutant(written(changed), f"{path}: {value}", True)


def _is_figure(value: Any) -> bool:
    return isinstance(value, str) and re.fullmatch(r"\d[\d./ eE+-]* [A-Za-z][\w/]*", value) is not None


def paths(texts: Any, path: Path = ()) -> list[Path]:
    """Ways to every value but the whole."""
    parts = texts.items() if isinstance(texts, dict) else enumerate(texts) if isinstance(texts, list) else ()
    found = [path] if path else []
    for step, part in parts:
        found += paths(part, (*path, step))
    return found


def _at(texts: Any, path: Path) -> Any:
    for step in path:
        texts = texts[step]
    return texts


def _written(texts: dict[str, Any]) -> bytes:
    return scenario_text(texts).encode("utf-8", "surrogatepass")
