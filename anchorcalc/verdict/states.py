"""The result read anchor by anchor: the hardest case of each, its verdict, and why it is no better."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from anchorcalc.result.check import AnchorState, by_use
from anchorcalc.result.strength import worst
from anchorcalc.result.words import CASE_WORDS
from anchorcalc.verdict.demand import strapped_load

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.result.check import CaseResult
    from anchorcalc.result.fitting import FittingSheet
    from anchorcalc.rig.rig import Rig


def anchor_state(anchor: str, rig: Rig, cases: Sequence[CaseResult], sheet: FittingSheet) -> AnchorState:
    """State of one anchor; it passes only where all its straps do in every case, and nothing is in its way."""
    state = _by_forces(anchor, rig, cases)
    if not any(place.conflicts for place in sheet.places if place.anchor == anchor):
        return state
    if state.verdict is None:
        return replace(state, why="no strap hangs on it, and something is in its way")
    also = f"; {state.why}" if state.verdict != "pass" else ""
    return replace(state, verdict="fail", why=f"something is in its way{also}")


def _by_forces(anchor: str, rig: Rig, cases: Sequence[CaseResult]) -> AnchorState:
    straps = [name for name, strap in rig.straps.items() if anchor in (ring for ring, _ in strap.legs)]
    if not straps:
        return AnchorState(anchor, None, None, None, "no strap hangs on it")
    seen = [(case, state) for case in cases if case.held for state in case.at_rings if state.anchor == anchor]
    case, state = max(seen, key=lambda pair: by_use(pair[1]), default=(None, None))
    verdict = state.verdict if state is not None else "fail"
    up, along = _asked(anchor, rig, case) if case is not None else (0.0, 0.0)
    why = "" if case is None or state is None else f"{CASE_WORDS[case.case]}: {state.weakest_link}"
    unrated = _unrated(anchor, straps, rig)
    if unrated:
        verdict = worst(verdict, "marginal")
        why = f"nobody rated: {', '.join(unrated)}"
    not_held = list(dict.fromkeys(CASE_WORDS[case.case] for case in cases if not case.held))
    if not_held:
        verdict, why = "fail", f"the load is not held in {', '.join(not_held)}"
    return AnchorState(anchor, verdict, case, state, why, up, along)


def _asked(anchor: str, rig: Rig, case: CaseResult) -> tuple[float, float]:
    """What the straps of one ring ask of it together in `case`, up and along the deck [N]."""
    legs = [(name, ring) for name, strap in rig.straps.items() for ring, _ in strap.legs]
    pulls = {state.strap: state.tension for state in case.straps}
    directions = zip(legs, strapped_load(rig).directions, strict=True)
    x, y, z = np.sum([pulls[name] * way for (name, ring), way in directions if ring == anchor], axis=0).tolist()
    return z, math.hypot(x, y)


def _unrated(anchor: str, straps: list[str], rig: Rig) -> list[str]:
    """Parts along the anchor's straps that nobody rated, as the result names them."""
    along = {f"ring of anchor {anchor}", *(f"strap {rig.straps[name].tie_down}" for name in straps)}
    along |= {f"tie point {point}" for name in straps for point in rig.straps[name].course}
    return [part for part in rig.unrated if part in along]
