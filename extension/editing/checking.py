"""What Re-measure would report of a sleeve, without drawing any of it: what every command asks before it goes on."""
from __future__ import annotations

from extension.document.part_names import NOTCH_OF
from extension.document.parts import number_of, text_of
from extension.document.reading import Lines, SleeveInDocument, decide_again
from geometry.editing.retrimming import kept_notches, remeasured_tiers
from geometry.sleeve.draft import draft_on
from geometry.sleeve.marks import notches
from geometry.sleeve.truing import MOST_TOLERANCE, USUAL_TOLERANCE, Check, true_up


def checks_of(sleeve: SleeveInDocument) -> list[Check]:
    """Return what Re-measure would report of a sleeve as it stands, at the tolerance that it had last, else the usual one."""
    decided = decide_again(sleeve.typed, sleeve.given)
    tiers = remeasured_tiers(sleeve.outline, sleeve.tiers, sleeve.seat.growth.apply(sleeve.corners[:2]))
    places = kept_notches(sleeve.outline, notches(sleeve.outline, decided.block.matches), stored_notches(sleeve.lines))
    return true_up(draft_on(decided, sleeve.outline, tiers.lines, places), tiers.adrift, last_tolerance(sleeve))


def last_tolerance(sleeve: SleeveInDocument) -> float:
    """Return the truing tolerance of the last run, millimetres; the usual one in the sleeve's unit where none is noted."""
    usual = USUAL_TOLERANCE[sleeve.unit]
    try:
        tolerance = float(text_of(sleeve.seam_element, "tolerance_mm") or usual)
    except ValueError:
        return usual
    return tolerance if 0 <= tolerance <= MOST_TOLERANCE else usual


def stored_notches(lines: Lines) -> dict[str, float]:
    """Return how far along the seam from the underarm point each notch stands that is still drawn."""
    found = {side: lines.all(part) for side, part in NOTCH_OF.items()}
    return {side: number_of(ticks[0], "distance_mm") for side, ticks in found.items() if ticks}
