"""Sentences about the pieces beside the sleeve and the finish of its top edge.  Lengths come in as text, in her unit."""
from __future__ import annotations

#: What each piece is called.
NAMES = {"band": "Band", "facing": "Facing", "lining": "Lining"}

#: How many of each are cut.
_CUT = {"facing": "Cut 2 (1 pair)", "lining": "Cut 2 (1 pair) in lining"}


def cut(name: str, two_part: bool) -> str:
    """Return how many of a piece are cut."""
    if name == "band":
        return "Cut 2 on the fold (outer and inner band)" if two_part else "Cut 1 on the fold"
    return _CUT[name]


FOLD, ON_FOLD, CASING_STITCHING = "Fold", "Centre front: on the fold of the cloth", "stitching of the casing"
GRAIN = "Grain as the arrow"

#: What is lettered at the armholes of a piece.
SIDES = {"front": "front", "back": "back"}


def fold(depth: str, casing: bool) -> str:
    """Return what is lettered along a top edge that is a fold."""
    return f"Fold: {'casing' if casing else 'facing'} of {depth} turned in"


def band_note(whole: str, width: str, two_part: bool) -> str:
    """Return how the band goes around; ``whole`` is its finished length."""
    how = "two parts, sewn together along the upper edge" if two_part else "folded along its middle"
    return f"Finished {whole} long and {width} wide, {how}. Centre back: the ends are sewn together, or to the dress’s opening."


def lining_note(ease: str, shorter: str, hem: str) -> str:
    """Return how the lining differs from the sleeve; ``ease`` is empty where there is none, ``shorter`` where its hem is caught."""
    wide = f"Each half {ease} wider from the underarm down, eased in at the armhole." if ease else "As wide as the sleeve."
    if shorter:
        return f"{wide} Hem {shorter} shorter than the sleeve’s, {hem} to turn up."
    return f"{wide} As long as the sleeve: sew its edge to the raw edge of the turned-up hem; the length left over is room to move."


def kept(names: list[str]) -> str:
    """Return that she has edited pieces, which are kept."""
    one = len(names) == 1
    return (
        f"{', '.join(names)}: you have edited {'this piece' if one else 'these pieces'}, so {'it is' if one else 'they are'} kept as"
        f" {'it is' if one else 'they are'}. Delete {'its layer' if one else 'a layer'} and draft again to have"
        f" {'it' if one else 'one'} drawn anew from the Seam line."
    )


def not_drawn(names: list[str]) -> str:
    """Return which pieces the sleeve needs that stand nowhere: she deleted them, or drew the sleeve so that it needs them now."""
    it = "it" if len(names) == 1 else "them"
    return (
        f"Not drawn beside the sleeve: {', '.join(names)}. 3 Cutting Plan cuts {it} all the same; to have {it} drawn, or to do without,"
        " draft again."
    )


# --- the finish of the top edge ------------------------------------------------------------------------


def fullness(ratio: str, drawn: str, taken: str) -> str:
    """Return how full the top edge is."""
    return f"Fullness of the top edge {ratio}: each sleeve’s is {drawn} long and takes {taken} on the body."


def gathered_onto(what: str) -> str:
    """Return what takes up the fullness of an edge without elastic."""
    return f"Gather it onto the {what} between the armhole seams."


#: A facing is as long as the edge that it faces, so it can't take up its fullness.
GATHERED_WITH_FACING = "Gather it with its facing between the armhole seams, and stay it with a tape of that length."


def casing(depth: str, stitched: str, wide: str) -> str:
    """Return how the casing is made."""
    return (
        f"Top edge on the fold: a casing of {depth} is cut in one with the sleeve and folded in along the straight top edge. Turn its raw"
        f" edge under and stitch it {stitched} below the fold, all around, with an opening to thread elastic {wide} wide; tier 1 is sewn"
        " on that stitching, not on the fold. A lining ends at it."
    )


def elastic(length: str, cut: str, ratio: str) -> str:
    """Return how long the elastic is."""
    return (
        f"One elastic for the whole top edge: {length} joined ({ratio} of the off-shoulder girth), cut {cut}, which laps where it is"
        " joined. Try it on before you sew it in."
    )


def stretch(needed: str, flat: str, elastic_out: str, fuller: str, longer: str) -> str:
    """Return that the edge passes over raised arms where nothing has to be ``fuller`` or ``longer``; else what would do:
    the least fullness, or :data:`NONE_DOES` where that leaves no armhole, and the least length of the elastic to the girth.
    """
    said = f"Over raised arms {needed} are needed (1.15 times the girth); the edge laid flat is {flat}, the elastic stretches to {elastic_out}"
    if not fuller and not longer:
        return f"{said}: it slips over the shoulders."
    unless = " More fullness would leave no armhole on this body." if fuller == NONE_DOES else ""
    ways = [f"a fullness of {fuller} or more"] if fuller and not unless else []
    ways += [f"elastic of {longer} of the girth or more"] if longer else []
    alone = f"{' and '.join(ways)}, or " if ways and not unless else ""
    return f"{said}: too little to slip over the shoulders.{unless} Draft with {alone}an opening."


#: In place of a least fullness, where more would leave no armhole.
NONE_DOES = "none"


def lessened(rule: str) -> str:
    """Return that the fullness is less than by the rule."""
    return f"The rule asks for a fullness of {rule}, which would leave no armhole on this body: this is the most that does, in steps of 0.05."


def band(width: str, whole: str) -> str:
    """Return what the band is."""
    return f"Top edge with a band, {width} wide and {whole} long for both sleeves and the bodice: its piece is drawn below the sleeve."


def bound(width: str, cut: str, whole: str) -> str:
    """Return how the top edge is bound."""
    return (
        f"Top edge bound, without a seam allowance there: cut strips on the bias, {cut} wide, and join them to {whole} for both sleeves and"
        f" the bodice, and a little more to join the ends; finished {width} wide. Stretch the strip a little where the edge is hollow."
    )


FACING_BY_ITSELF = "Top edge faced: its facing is a piece of its own, drawn below the sleeve, to the shape of the top edge and both armholes."


def facing_in_one(depth: str) -> str:
    """Return how a facing is cut in one."""
    return f"Top edge on the fold: a facing of {depth} is cut in one with the sleeve and folded in along the straight top edge."
