"""From the answers to a scenario: values to their places, measures from edges and wheels to coordinates."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from anchorcalc.interview.answers import metres, place
from anchorcalc.scenario.model import Scenario

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.interview.guided import Interview, Row
    from anchorcalc.reading.document import Plain
    from anchorcalc.result import Result

SHARES: Final = (35, 50, 65)
"""Of the weight, on the front wheels [%]: from engine in the rear to engine in front [common practice, no source]."""

_BACKINGS: Final = ("washers", "plate", "member", "bridge")
_MOUNTING: Final = "as built"
_ORDER: Final = ("title", "rules", "units", "load", "deck", "mountings", "anchors", "straps", "trailer", "assumed")
_SIDES: Final = (("left", 1), ("right", -1))
_CHOCK: Final = 0.23  # height at which a chock bears on a wheel [m] [judgement]
_ON_A_TYRE: Final = ((0.64, 0.77), (0.0, 1.0), (-0.64, 0.77))
"""Where a strap lies on a tyre: ahead of its middle and above it, in radii."""
_OTHER_SIDE: Final = {"left": "right", "right": "left"}


def verdict_on(content: dict[str, Plain], catalog: Catalog) -> Result:
    """The check of a sound scenario."""
    from anchorcalc.verdict.check import check

    return check(Scenario.model_validate(content), catalog)


def scenario_content(asked: Interview) -> dict[str, Plain]:
    """The scenario that the answers describe, as texts; what nobody measured is listed in it.

    A weight on the front wheels that nobody knows is not settled yet: see `settled`.
    """
    share = asked.value("front share")
    return _content(asked, float(share.removesuffix(" %")) if share else SHARES[0])


def settled(asked: Interview) -> dict[str, Plain]:
    """The same of answers that go together, with that weight on the front wheels that gives the worst verdict."""
    if asked.value("front share") is not None:
        return scenario_content(asked)

    def badness(percent: int) -> tuple[bool, bool, float]:
        result = verdict_on(_content(asked, percent), asked.catalog)
        return result.verdict == "fail", result.verdict != "pass", max(case.utilisation for case in result.cases)

    worst = max(SHARES, key=badness)
    content: Any = _content(asked, worst)
    shares = f"{', '.join(map(str, SHARES[:-1]))} and {SHARES[-1]} %"
    content.setdefault("assumed", {})["front share"] = (
        f"{worst} % of the weight in front (not known: the worst of {shares})"
    )
    return dict(content)


def _content(asked: Interview, percent: float) -> dict[str, Plain]:
    made: dict[str, Any] = {"deck": {}, "load": {}}
    for row in asked.rows():
        value = asked.value(row.key)
        if row.where and value not in (None, "none"):
            _put(made, row, str(value))
    washer, layer = made.pop("washer", {}), made.pop("layer")
    made["deck"] |= {
        "layers": [dict(layer) for _ in range(int(asked.value("layers") or 1))],
        "layers_joined": asked.value("layers joined") or "loose",
    }
    if asked.value("members run") == "lengthwise":
        made["deck"]["cross_members"]["run"] = "lengthwise"
    if len(made["deck"]["cross_members"].get("joint", {})) == 1:  # of a weld both measures are known, or none counts
        del made["deck"]["cross_members"]["joint"]
    if asked.value("base turned") == "0 deg":  # as it is in a file that says nothing of it
        made["mountings"][_MOUNTING].pop("base_turned", None)
    _fasten(asked, made["mountings"][_MOUNTING], washer)
    made["load"] |= _standing(asked, percent)
    _strap_down(asked, made, made.pop("tie", {}), made.pop("strap", {}))
    if asked.value("ring bases") != "own":
        made["anchors"] = _on_strips(asked, made["anchors"])
    if len(made.get("trailer", {})) < 2:  # one weight alone says nothing
        made.pop("trailer", None)
    made["assumed"] = _assumed(asked)
    return {key: made[key] for key in _ORDER if made.get(key)}


def _put(made: dict[str, Any], row: Row, value: str) -> None:
    """Write `value` where `row` says; the sides of a size stand in a list."""
    *way, last = row.where.split("/")
    here = made
    for step in way if last not in "01" else way[:-1]:
        here = here.setdefault(step, {})
    if row.kind == "mark":
        word, force = value.split(" ", 1)
        here.setdefault(last, {})["rated" if word == "WLL" else "breaking"] = force
    elif last in "01":
        here.setdefault(way[-1], []).append(value)
    else:
        here[last] = value.split(", ") if row.kind == "joints" else value


def _fasten(asked: Interview, mounting: dict[str, Any], washer: dict[str, str]) -> None:
    fastening = asked.value("fastening") or ""
    if "welded" in fastening:
        weld = mounting.get("backing", {})
        mounting["backing"] = {"kind": "frame", **(weld if len(weld) > 1 else {})}
        return
    along, across = asked.length("spacing along") / 2, asked.length("spacing across") / 2
    corners: dict[str, Any] = {"rectangle": [asked.value("spacing along"), asked.value("spacing across")]}
    patterns: dict[str | None, dict[str, Any]] = {
        "2": {"points": [_at(asked, x, 0.0) for x in (along, -along)]},
        "6": {"points": [_at(asked, x, y) for x in (along, 0.0, -along) for y in (across, -across)]},
    }
    at = patterns.get(asked.value("fasteners"), corners)
    if asked.value("ring bases") != "own":
        at = _in_a_row(asked, mounting["ring"])
    kind = fastening.removesuffix("s") if "screws" in fastening else "bolt"
    mounting["fasteners"] |= {"kind": kind, "at": at}
    backing = mounting.setdefault("backing", {})
    backing["kind"] = next((kind for kind in _BACKINGS if kind in fastening), "none")
    if backing["kind"] == "washers":
        backing |= washer
    elif backing["kind"] == "member" and (
        backing["through"] != "all" or asked.answers.get("washer outside") or asked.value("member material") == "wood"
    ):
        backing["washer"] = washer


def _in_a_row(asked: Interview, ring: dict[str, Any]) -> dict[str, Any]:
    """Places of the fasteners of a strip; it becomes the base of the `ring`."""
    count, spacing = int(asked.value("strip fasteners") or 2), asked.length("strip spacing")
    row = [(number - (count - 1) / 2) * spacing for number in reversed(range(count))]
    base = [asked.value("strip length"), asked.value("strip width")]
    across = asked.value("ring bases") == "across"
    ring["base"] = base[::-1] if across else base
    return {"points": [_at(asked, 0.0, along) if across else _at(asked, along, 0.0) for along in row]}


def _on_strips(asked: Interview, rings: dict[str, Any]) -> dict[str, Any]:
    """The `rings` of each end, or of each side, on the strip that lies under them."""
    word = 0 if asked.value("ring bases") == "across" else 1
    strips: dict[str, dict[str, Any]] = {}
    for name, ring in rings.items():
        strips.setdefault(f"{name.split()[word]} strip", {})[name] = ring
    anchors: dict[str, Any] = {}
    for strip, on_it in strips.items():
        places = [[metres(each) for each in ring["at"]] for ring in on_it.values()]
        middle = [(min(each) + max(each)) / 2 for each in zip(*places, strict=True)]
        anchors[strip] = {"at": _at(asked, *middle), "mounting": _MOUNTING}
        anchors |= {name: {"on": strip, "at": ring["at"]} for name, ring in on_it.items()}
    return anchors


def _standing(asked: Interview, percent: float) -> dict[str, Any]:
    """Wheels, and the centre of gravity between them."""
    rear, base, offset = (asked.length(key) for key in ("rear tyres", "wheelbase", "offset"))
    centre = [*_at(asked, rear + base * percent / 100, offset), asked.value("centre height")]
    ends = {"front": rear + base, "rear": rear}
    if asked.value("load kind") == "motorcycle":
        wheels = {end: _at(asked, x, offset) for end, x in ends.items()}
        return {"centre_of_gravity": centre, "wheels": wheels, **_in_its_chock(asked, ends["front"], offset)}
    wheels = {
        f"{end} {side}": _at(asked, x, offset + sign * asked.length(f"{end} track") / 2)
        for end, x in ends.items()
        for side, sign in _SIDES
    }
    return {"centre_of_gravity": centre, "wheels": wheels, **_between_chocks(asked, wheels)}


def _between_chocks(asked: Interview, wheels: dict[str, list[str]]) -> dict[str, Any]:
    """A chock ahead of each front wheel, and one behind each rear wheel, where somebody rated them."""
    stops = {}
    for where, end, pushes, off in ("ahead", "front", "rearward", _CHOCK), ("behind", "rear", "forward", -_CHOCK):
        if rated := asked.value(f"stops {where}"):
            for wheel in (f"{end} {side}" for side, _ in _SIDES):
                x, y = (metres(each) for each in wheels[wheel])
                at = [*_at(asked, x + off, y), asked.value("stop height")]
                stops[f"chock {where}, {wheel}"] = {"at": at, "pushes": pushes, "rated": rated}
    return {"stops": stops} if stops else {}


def _in_its_chock(asked: Interview, x: float, y: float) -> dict[str, Any]:
    """The three faces of a chock round a front wheel that stands at x, y."""
    rated = asked.value("chock")
    faces = {"ahead": (0.23, 0.0, "rearward"), "left side": (0.0, 0.05, "right"), "right side": (0.0, -0.05, "left")}
    stops = {
        f"chock, {face}": {
            "at": [*_at(asked, x + ahead, y + aside), place(_CHOCK, asked.units)],
            "pushes": way,
            "rated": rated,
        }
        for face, (ahead, aside, way) in faces.items()
    }
    return {"stops": stops} if rated else {}


def _strap_down(asked: Interview, made: dict[str, Any], tie: dict[str, str], strap: dict[str, str]) -> None:
    """Rings, hooks and straps at the four corners."""
    rear = asked.length("rear tyres")
    front = rear + asked.length("wheelbase")
    rings = {"front": asked.length("deck length") - asked.length("front rings"), "rear": asked.length("rear rings")}
    across = asked.length("deck width") / 2 - asked.length("ring edge")
    made["anchors"] = {
        f"{end} {side}": {"at": _at(asked, ring, sign * across), "mounting": _MOUNTING}
        for end, ring in rings.items()
        for side, sign in _SIDES
    }
    made["straps"] = {}
    run = asked.value("run of the straps")
    if run == "over the tyres":
        _over_the_tyres(asked, made, strap, {"front": front, "rear": rear}, across)
    elif run == "from side to side":
        _from_side_to_side(asked, made, strap, _points(asked, front, rear))
    else:
        _to_hooks(asked, made, tie, strap, _points(asked, front, rear))


def _points(asked: Interview, front: float, rear: float) -> dict[str, dict[str, list[str]]]:
    """The places on the load that straps are hooked to or lie on, by end and side; its axles are at front and rear."""
    ends = {"front": front + asked.length("front hooks ahead"), "rear": rear - asked.length("rear hooks behind")}
    more, offset = {"front": "", "rear": "rear "}, asked.length("offset")
    return {
        end: {
            side: [
                *_at(asked, x, offset + sign * asked.length(f"{more[end]}hooks apart") / 2),
                asked.value(f"{more[end]}hook height") or "",
            ]
            for side, sign in _SIDES
        }
        for end, x in ends.items()
    }


def _to_hooks(
    asked: Interview,
    made: dict[str, Any],
    tie: dict[str, str],
    strap: dict[str, str],
    points: dict[str, dict[str, list[str]]],
) -> None:
    """A strap from each ring to a hook on its side of the load, or on the other."""
    hooks = made["load"].setdefault("tie_points", {})
    for end, sides in points.items():
        for side, at in sides.items():
            corner = f"{end} {side}"
            hooks[corner] = {"at": at, **tie}
            to = f"{end} {_OTHER_SIDE[side]}" if asked.value("crossed") == "yes" else corner
            made["straps"][corner] = {"anchor": corner, "to": to, **strap, "route": "direct"}


def _from_side_to_side(
    asked: Interview, made: dict[str, Any], strap: dict[str, str], points: dict[str, dict[str, list[str]]]
) -> None:
    """A strap at each end from its left ring over the load, or round its axle, to its right one."""
    for end, sides in points.items():
        over = [sides["left"]] if sides["left"] == sides["right"] else list(sides.values())
        way = {"anchor": f"{end} left", "over": over, "to_anchor": f"{end} right"}
        made["straps"][end] = {**way, **_sliding(asked), **strap}


def _sliding(asked: Interview) -> dict[str, str]:
    return {"slides": word} if (word := asked.value("strap slides")) else {}


def _over_the_tyres(
    asked: Interview, made: dict[str, Any], strap: dict[str, str], axles: dict[str, float], across: float
) -> None:
    """A strap over each tyre, from a ring before it to one behind it; those between the tyres serve two."""
    radius, offset = asked.length("tyre height") / 2, asked.length("offset")
    for side, sign in _SIDES:
        middle = f"middle {side}"
        made["anchors"][middle] = {"at": _at(asked, asked.length("middle rings"), sign * across), "mounting": _MOUNTING}
        for end, x in axles.items():
            corner, y = f"{end} {side}", offset + sign * asked.length(f"{end} track") / 2
            rim = [(ahead * radius, (1 + up) * radius) for ahead, up in _ON_A_TYRE]
            over = [[*_at(asked, x + along, y), place(height, asked.units)] for along, height in rim]
            fore, aft = (corner, middle) if end == "front" else (middle, corner)
            made["straps"][corner] = {"anchor": fore, "over": over, "to_anchor": aft, **_sliding(asked), **strap}


def _at(asked: Interview, x: float, y: float) -> list[str]:
    return [place(x, asked.units), place(y, asked.units)]


def _assumed(asked: Interview) -> dict[str, str]:
    """What stands in the scenario though nobody measured it, and why."""
    listed = {}
    for row in asked.rows():
        value, known = asked.value(row.key), asked.known_as(row)
        if value is not None and known in ("guess", "usual"):
            listed[row.key] = f"{value} ({known})"
        elif value is not None and known == "not known":
            listed[row.key] = f"{value} (not known: {row.unknown})"
    return listed
