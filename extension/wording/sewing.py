"""The steps from cut pieces to sewn sleeves, in words.  Lengths come in as text, already in her unit."""
from __future__ import annotations

from collections.abc import Sequence


def timed(says: str, duration: str) -> str:
    """Return a step with how long it takes on all sleeves; an empty duration is none."""
    return f"{says} ({duration})" if duration else says


TIMES = "Behind each step stands how long it takes for all sleeves together; the minutes are those of the table below."


def cut(pieces: Sequence[str], count: int, of_tiers: int, piece: str) -> str:
    """Return the first step; ``pieces`` are all that are cut beside the base, as a sentence names them, ``count`` is how many are
    laid in all, and ``of_tiers`` how many of them are cut for the tiers, each called a ``piece``.
    """
    named = " and ".join([", ".join(["the base", *pieces[:-1]]), pieces[-1]]) if pieces else "the base"
    tiers = f", and for the tiers {of_tiers} {piece}{'' if of_tiers == 1 else 's'}" if of_tiers else ""
    return (
        f"Cut {named}{tiers}; {count} pieces are laid in all. Mind the blades:"
        " keep your fingers out of their way. Mark tier lines, grain and notches on the right side of the base."
    )


def cut_trims(tiers: str, pieces: int) -> str:
    """Return how the trim of whole tiers is cut."""
    return (
        f"Cut the bought trim of {tiers}, {pieces} length{'' if pieces == 1 else 's'} in all. It is gathered already: its heading is sewn on the"
        " tier line as it comes. Where the armhole slants away let its end run on past the line, pin it flat on the sleeve and cut it along the seam."
    )


def join(joins: int, whole: str) -> str:
    """Return how the pieces of each ``whole`` are joined."""
    many = f"{joins} join{'' if joins == 1 else 's'}"
    return f"Join the pieces of each {whole}, {many} in all, and press the joins open or to one side, cool: net melts."


OUTERMOST_LAYERS, UNDER_LAYERS = "the outermost layers", "the layers under them"

LAYERS = "Lay the layers of each tier on each other, the outermost on top, and baste each to the one below along the stitching line."
LAYERS_AS_ONE = "Lay the layers of each tier on each other, ends and upper edges even, pin them and take them as one strip from here on."


def attach(bottom_up: bool, all_but_first: bool) -> str:
    """Return how the tiers are sewn on; with a casing the first waits for its stitching."""
    which = "the tiers but the first" if all_but_first else "the tiers"
    if bottom_up:
        return f"Attach {which} from the bottom up, so that no tier has to be held out of the way: allowance upward, stitching on the tier line."
    return f"Attach {which} from the top down, each finished tier flipped up and pinned out of the way of the next."


def attach_others(lines: Sequence[str]) -> str:
    """Return how ruffles are sewn on other lines of the dress, each named with its length."""
    return f"Attach the ruffles of {'; '.join(lines)}: allowance upward, stitching on the line."


def armhole(front: str, back: str, ends: str) -> str:
    """Return how the sleeve is set in; ``ends`` are the tiers whose ends lie along the armhole, or empty."""
    joined = f"Join the sleeve to the bodice, notch to notch: front {front}, back {back}"
    if not ends:
        return f"{joined}."
    return (
        f"The ends of {ends} lie along the armhole: pin them flat on the sleeve, edge on edge, and baste them, then take out the pins."
        f" {joined}; the ends are sewn in with the seam."
    )


def line_it(own: bool, caught: bool, top: str) -> str:
    """Return how the lining is made and put in; ``top`` is one of :data:`LINING_TOPS`, for one of its own."""
    put = "Close the underarm seam of the lining and put it in, wrong sides together"
    if not own:
        return f"{put}."
    hem = "sew its lower edge to the edge of the turned-up hem" if caught else "turn up its hem, which hangs free"
    return f"{put}; {hem}. {LINING_TOPS[top]}"


#: What is done with the top edge of a lining of its own, by the finish of the sleeve's.
LINING_TOPS = {
    "band": "Baste its top edge to the sleeve’s: the band takes in both.",
    "bound": "Baste its top edge to the sleeve’s: the binding takes in both.",
    "elastic": "Leave its top edge free until the casing is turned in: the casing’s stitching takes it in.",
    "facing": "Sew its top edge to the lower edge of the facing first, notch to notch.",
    "faced": "Leave its top edge free until the facing is turned in, and catch the two together.",
}


HEM = "Turn up the hem, {length} around, so that no stitch catches the last tier."
HEM_EASED = "Turn up the hem, {length} around, its longer edge eased in with a gathering thread, so that no stitch catches the last tier."
HEM_CLIPPED = "Turn up the hem, {length} around, its shorter edge clipped where it pulls, so that no stitch catches the last tier."
HEM_FACED = "Face the shaped hem, {length} around, and turn the facing in, so that no stitch catches the last tier."


def gather_top(drawn: str, taken: str, faced: bool) -> str:
    """Return that a full top edge is drawn up; one that is ``faced`` with its facing, which is as long."""
    through = ", through the facing as well," if faced else ""
    stay = f" Stay it with a tape {taken} long." if faced else ""
    return f"Sew two rows of gathering stitches along the top edge{through} between the armhole seams and draw {drawn} up to {taken}.{stay}"


def casing(stitched: str, cut: str, wide: str) -> str:
    """Return how the casing is made and the elastic put in."""
    return (
        f"Turn the casing in along its fold, its raw edge under, and stitch it {stitched} below the fold all around, an opening left."
        f" Thread the elastic, {cut} long and {wide} wide; try it on, lap its ends and sew them flat, close the opening."
    )


FIRST_ON_CASING = (
    "Sew tier 1 on the stitching of the casing, the elastic stretched out of the needle’s way: a needle that hits it may break."
    " Turn its ends in and catch them to the seams."
)


def band(whole: str, two_part: bool) -> str:
    """Return how the band is sewn on."""
    how = "sew both parts together along the upper edge" if two_part else "fold it along its middle, wrong sides together"
    mark = f"Mark the seam places on the band, {whole} long, and {how}"
    return f"{mark}; sew it to the top edge, its marks on the armhole seams and on the sleeves’ middle notches, and turn the allowances into it."


FACED_IN_ONE = "Turn the facing in along its fold and catch it to the seams."
FACED = "Sew the facing to the top edge, right sides together, notch to notch, clip the curve, turn it in and catch it to the seams."


def bound(cut: str, whole: str) -> str:
    """Return how the top edge is bound."""
    return f"Bind the top edge with a bias strip cut {cut} wide, {whole} long when joined, its ends in a seam."


PRESS = (
    "Press the sleeves, the iron cool and through a cloth, after a trial on a scrap: net melts. Count pins and needles before anyone tries"
    " the sleeves on."
)


BIAS_STRIPS = "the bias strips"


def elastic_to_buy(cut: str, wide: str, tops: int) -> str:
    """Return what elastic to buy for so many top edges."""
    if tops > 1:
        return f"Elastic {wide} wide: {tops} pieces of {cut}, one for each whole top edge, the lap included."
    return f"Elastic {wide} wide: {cut} for the whole top edge, the lap included."


def binding_to_buy(cut: str, whole: str, tops: int, pieces: int, each: str) -> str:
    """Return what binding takes of the base cloth; it is laid in so many ``pieces``, none where no base cloth is planned."""
    strip = f"Bias strip {cut} wide: {whole} for {'each' if tops > 1 else 'the'} whole top edge"
    if not pieces:
        return f"{strip} and a little to join it; {_NOT_LAID}."
    cut_as = "1 piece" if pieces == 1 else f"{pieces} pieces"
    return f"{strip}, cut as {cut_as}{'' if pieces == 1 else ' of'} {each} along an edge, joins included; {_LAID}."


_LAID, _NOT_LAID = "laid with the base", "not laid, since no base cloth is planned"


def band_to_cut(half: str, high: str, number: int, laid: bool) -> str:
    """Return what the band takes of the base cloth."""
    return f"Band: cut {number} on the fold, {half} × {high} as cut (half); {f'{_LAID}, opened out' if laid else _NOT_LAID}."


def facing_to_cut(sleeves: int, laid: bool) -> str:
    """Return what the facings take of the base cloth."""
    pairs = f" ({sleeves // 2} pair{'s' if sleeves > 3 else ''})" if sleeves % 2 == 0 else ""
    return f"Facing: cut {sleeves}{pairs}; {_LAID if laid else _NOT_LAID}."
