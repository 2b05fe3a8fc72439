"""Signs and colours of the plan; each verdict has a shape of its own, so that colour is never needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render.draw.svg import Markup, coloured, group, path, tag

if TYPE_CHECKING:
    from anchorcalc.result import Verdict

LIGHT = {
    "paper": "#fff", "ink": "#1d2730", "soft": "#5b6873", "deck": "#f3ead9", "edge": "#8a7450", "steel": "#9fb0bd",
    "rail": "#667784", "joint": "#85642f", "pass": "#14703f", "marginal": "#955800", "fail": "#b3231b",
    "strap": "#2563a8", "zone": "#b3231b", "tyre": "#39434c", "pull": "#8a3d00", "first": "#0b5394",
    "second": "#9a4f00", "third": "#38761d", "fourth": "#674ea7",
}  # fmt: skip
DARK = {
    "paper": "#161b20", "ink": "#e9edf0", "soft": "#a3afb9", "deck": "#3a3226", "edge": "#b79f74",
    "steel": "#5d6e7b", "rail": "#8fa3b2", "joint": "#c7a269", "pass": "#5fce90", "marginal": "#f1b04c",
    "fail": "#ff8b80", "strap": "#7db5f2", "zone": "#ff8b80", "tyre": "#c3ccd4", "pull": "#ffb066",
    "first": "#7db5f2", "second": "#f1b04c", "third": "#8fd16b", "fourth": "#b9a4f0",
}  # fmt: skip
RULES = """
.deck-plan text{font:13px system-ui,-apple-system,"Segoe UI","DejaVu Sans",sans-serif;
fill:var(--ink);unicode-bidi:isolate}
.deck-plan .small{font-size:11.5px}.deck-plan .bold{font-weight:700}.deck-plan .quiet{fill:var(--soft)}
.deck-plan .head{font-size:17px;font-weight:700}.deck-plan .middle{text-anchor:middle}.deck-plan .end{text-anchor:end}
.deck-plan .halo{paint-order:stroke;stroke:var(--paper);stroke-width:4px;stroke-linejoin:round}
.deck-plan .paper{fill:var(--paper)}.deck-plan .arrow,.deck-plan .scale-dark{fill:var(--ink)}
.deck-plan .scale-dark,.deck-plan .scale-light{stroke:var(--ink);stroke-width:1}
.deck-plan .scale-light{fill:var(--paper)}
.deck-plan .deck{fill:var(--deck);stroke:var(--edge);stroke-width:2}
.deck-plan .member{fill:var(--steel);fill-opacity:.45;stroke:var(--rail);stroke-dasharray:5 3}
.deck-plan .rail{fill:none;stroke:var(--rail);stroke-width:2;stroke-dasharray:9 5}
.deck-plan .joint{fill:none;stroke:var(--joint);stroke-width:1.6;stroke-dasharray:12 3 2 3}
.deck-plan .layer-2,.deck-plan .layer-4{stroke-dasharray:3 3}
.deck-plan .centreline{fill:none;stroke:var(--soft);stroke-width:.8;stroke-dasharray:14 4 3 4}
.deck-plan .well{fill:var(--steel);fill-opacity:.35;stroke:var(--soft)}
.deck-plan .no-go{fill:var(--zone);fill-opacity:.1;stroke:var(--zone);stroke-width:1.5}
.deck-plan .hatching{fill:none;stroke-width:.8;stroke-opacity:.6}
.deck-plan .wheel{fill:var(--tyre);fill-opacity:.85}.deck-plan .tie-point{fill:var(--strap);stroke:var(--paper)}
.deck-plan .gravity{fill:var(--ink)}.deck-plan .gravity-ring{fill:var(--paper);stroke:var(--ink);stroke-width:1.2}
.deck-plan .strap{fill:none;stroke:var(--strap);stroke-width:3}
.deck-plan .stop{fill:none;stroke:var(--ink);stroke-width:3.5}
.deck-plan .strap-edge{fill:none;stroke:var(--paper);stroke-width:5.5;stroke-opacity:.7}
.deck-plan .pull{fill:var(--pull);stroke:var(--pull);stroke-width:5;stroke-linejoin:round}
.deck-plan .load-outline{fill:none;stroke:var(--tyre);stroke-width:1.2;stroke-dasharray:7 4}
.deck-plan .ring-base{fill:none;stroke:var(--tyre);stroke-width:1}
.deck-plan .plate{fill:var(--steel);fill-opacity:.5;stroke:var(--tyre);stroke-width:1;stroke-dasharray:3 2}
.deck-plan .tyre{fill:none;stroke:var(--tyre);stroke-width:3}
.deck-plan .wood-cut{fill:var(--deck);stroke:var(--edge);stroke-width:1}
.deck-plan .leader{fill:none;stroke:var(--soft);stroke-width:.9}
.deck-plan .sign{stroke:var(--paper);stroke-width:1.5}
.deck-plan .mark{fill:none;stroke:var(--paper);stroke-width:2.4;stroke-linecap:round;stroke-linejoin:round}
.deck-plan .sign.pass{fill:var(--pass)}.deck-plan .sign.marginal{fill:var(--marginal)}
.deck-plan .sign.fail{fill:var(--fail)}
.deck-plan .sign.unused{fill:var(--paper);stroke:var(--soft);stroke-width:2}
.deck-plan .pass-word{fill:var(--pass)}.deck-plan .marginal-word{fill:var(--marginal)}
.deck-plan .fail-word{fill:var(--fail)}
.deck-plan .unused-word{fill:var(--soft)}
.deck-plan .conflict-ring{fill:none;stroke:var(--fail);stroke-width:2.4;stroke-dasharray:4 3}
.deck-plan .line{stroke:var(--soft);stroke-width:.8;stroke-opacity:.6}
"""


def in_both_schemes(rules: str) -> str:
    """Rules of the plan's colours by name, for a light and a dark screen."""
    return coloured(rules.replace("\n", ""), LIGHT, DARK)


STYLE = in_both_schemes(RULES)


def glyph(verdict: Verdict | None, x: float, y: float) -> Markup:
    """Sign of a verdict about (x, y): disc with a tick, triangle with a stroke, octagon with a cross, empty ring."""
    if verdict == "pass":
        sign = tag("circle", class_="sign pass", cx=x, cy=y, r=10)
        mark = path((x - 4.5, y + 0.5), (x - 1.2, y + 4), (x + 4.8, y - 3.6))
    elif verdict == "marginal":
        corners = path((x, y - 12), (x + 12.5, y + 9), (x - 12.5, y + 9), closed=True)
        sign = tag("path", class_="sign marginal", d=corners)
        mark = f"{path((x, y - 5), (x, y + 2))} {path((x, y + 6), (x, y + 6.1))}"
    elif verdict == "fail":
        a, b = 10.5, 4.35
        around = [(a, b), (b, a), (-b, a), (-a, b), (-a, -b), (-b, -a), (b, -a), (a, -b)]
        sign = tag("path", class_="sign fail", d=path(*((x + dx, y + dy) for dx, dy in around), closed=True))
        mark = f"{path((x - 4, y - 4), (x + 4, y + 4))} {path((x - 4, y + 4), (x + 4, y - 4))}"
    else:
        return tag("circle", class_="sign unused", cx=x, cy=y, r=8)
    return group(sign, tag("path", class_="mark", d=mark))


def gravity_sign(x: float, y: float) -> Markup:
    """Where the weight acts: a disc in quarters."""
    quarters = f"M{x:.3f} {y:.3f} v-8 a8 8 0 0 1 8 8 z M{x:.3f} {y:.3f} v8 a8 8 0 0 1 -8 -8 z"
    disc = tag("circle", class_="gravity-ring", cx=x, cy=y, r=8)
    return group(disc, tag("path", class_="gravity", d=quarters))
