"""Finding the six corners of a Seam line again after she has edited it.

First by where they were when the sleeve was last drawn, else by how the line turns and by place; where
that leaves a doubt the corner is named rather than guessed.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.affine import IDENTITY, Affine
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.editing.corners import AT_PLACE, LOOSE, RINGED, SHARP, Before, Choice, choose_corners
from geometry.editing.corners import distances as _distances
from geometry.refusal import Fact, Problem, Refused
from geometry.sleeve.outline import CORNERS, EDGES, Outline

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

#: Ends of open pieces this near belong together, millimetres: what a hand can't see on paper.
JOINT = 0.5

#: A node turns as its neighbourhood of this size does, millimetres, so that a corner which the editor
#: has rounded off by less still counts as one.
ARM = 2.0

#: The line is sampled at about so many places to see how it turns: every few millimetres of a sleeve.
SAMPLES = 2000

#: A scale estimated from corners that also wander is no better than this: less is no scale at all.
ESTIMATE = 0.01


#: A line of which so many nodes are where they were was not moved as a whole.
STAYS = 3

#: A line that lies aslant by more than this to how it lay, degrees, may have been turned as a whole.
ASLANT = 2.0

#: No more nodes than this are looked through for a motion of the whole: more than any sleeve is drawn or edited with.
MOST_TRIED = 48

#: A node this near the line as it was lies on it, millimetres: where adding a node and snapping put it.
ON_OLD_LINE = 0.1

#: What is cut off a corner is less than this share of an edge beside it.
CUT_OFF = 0.5

#: No rings.
_NOWHERE: Array = np.empty((0, 2))


class Broken(Refused):
    """A Seam line that can't be measured; ``places`` (k, 2), millimetres, are where to look.

    Where it ``asks``, rings are drawn there of which she deletes those that are not meant.
    """

    asks = False

    def __init__(self, rule: str, places: ArrayLike, **facts: Fact) -> None:
        super().__init__(rule, **facts)
        self.places: Array = np.asarray(places, dtype=float).reshape(-1, 2)


class Refound(NamedTuple):
    """An outline in the frame in which it was drawn, and the ``motion`` that takes it from there to where
    the line was found: :data:`IDENTITY` unless she moved the line as a whole.
    """

    outline: Outline
    motion: Affine


def refind(pieces: Sequence[Curve], corners: Array, drawn: Curve | None = None, rings: Array = _NOWHERE) -> Refound:
    """Return the outline that the ``pieces`` of a Seam line make, whatever their direction and start.

    ``corners`` (6, 2) are where the corners were, in the order of :data:`CORNERS`, ``drawn`` is the line as it was
    then, and ``rings`` (k, 2) are where rings still stand that asked for corners.  Raises
    :class:`Broken` where the line does not close, crosses itself, or has lost a corner.
    """
    ring = ring_of(pieces)
    crossings = ring.self_crossings()
    if crossings:
        rule = "seam line crosses itself once" if len(crossings) == 1 else "seam line crosses itself"
        raise Broken(rule, [crossing.point for crossing in crossings], count=len(crossings))
    if ring.signed_area() < 0:
        ring = ring.reversed()
    turns = turning(ring)
    before = line_before(drawn, corners)
    motion = whole_motion(ring.nodes[:-1], np.abs(turns), corners, before.nodes)
    choice = choose_corners(ring.nodes[:-1], turns, before._replace(nodes=motion.apply(before.nodes)), rings)
    places = _nodes_of(choice, ring.nodes[:-1], motion.apply(corners))
    if drawn is not None and len(before.nodes) > len(corners):
        _ask_if_cut_off(ring.nodes[:-1], places, motion.apply(before.nodes), before.corners, drawn.transformed(motion.matrix), rings)
    outline = cut_at(ring, places)
    if not _was_asked(outline, rings):
        _ask_if_flipped(ring.nodes[:-1], motion.apply(before.nodes), outline)
        if motion == IDENTITY and _near(ring.nodes[:-1], before.nodes, AT_PLACE) < STAYS:
            _ask_if_turned(outline, corners)
    if motion != IDENTITY:
        outline = outline.transformed(motion.inverse().matrix)
    return Refound(outline, motion)


def _ask_if_cut_off(nodes: Array, places: Sequence[int], before: Array, corners: Sequence[int], drawn: Curve, rings: Array) -> None:
    """Raise :class:`Broken` where a corner was cut off: its node and a new one beside it lie on the line as it was, ``drawn``,
    on either side of the old corner, however little the line turns at one of the two.
    """
    new = _distances(nodes, before).min(axis=1) > AT_PLACE
    ringed = _distances(nodes, rings).min(axis=1, initial=np.inf) <= RINGED
    for k, place in enumerate(places):
        for beside in ((place + step) % len(nodes) for step in (-1, 1) if new[place] and not ringed[place]):
            if new[beside] and beside not in places and _on_either_side(nodes[[place, beside]], k, before[list(corners)], drawn):
                both = sorted((place, beside), key=lambda node: (node - place + 1) % len(nodes))
                raise _asking(Broken("corner in doubt", nodes[both], corner=CORNERS[k], count=2))


def _on_either_side(pair: Array, k: int, corners: Array, drawn: Curve) -> bool:
    """Whether two points lie on the line as it was, one on each edge beside the ``k``-th of its ``corners``, and near that."""
    ring = drawn if drawn.signed_area() > 0 else drawn.reversed()
    *ends, here = (ring.nearest(corners[i % len(corners)]).t for i in (k - 1, k + 1, k))
    whole = len(ring)
    lengths = [(here - ends[0]) % whole, (ends[1] - here) % whole]
    sides = set()
    for found in ring.nearest_many(pair):
        before, after = (here - found.t) % whole, (found.t - here) % whole
        side = int(after < before)
        edge = corners[(k + 2 * side - 1) % len(corners)] - corners[k]
        near = np.hypot(*(found.point - corners[k])) <= CUT_OFF * np.hypot(*edge)
        if found.distance > ON_OLD_LINE or not near or min(before, after) >= lengths[side]:
            return False
        sides.add(side)
    return len(sides) == 2


def _ask_if_flipped(nodes: Array, before: Array, outline: Outline) -> None:
    """Raise :class:`Broken` where more of the nodes ``before`` are where flipping the line would bring them than in their places."""
    image = before * (-1, 1)
    image = image + nodes.min(axis=0) - image.min(axis=0)
    if _near(nodes, image, AT_PLACE) > max(_near(nodes, before, AT_PLACE), len(before) // 2):
        raise _asking(Broken("seam line flipped", _corners_and_middles(outline)))


def _ask_if_turned(outline: Outline, corners: Array) -> None:
    """Raise :class:`Broken` where a line of which nothing is in its place lies aslant to the grain.

    It may have been turned as a whole and edited, or be meant so.
    """
    now = np.array([outline.corner(name) for name in CORNERS])
    z, w = ((points - points.mean(axis=0)) @ [1, 1j] for points in (corners, now))
    turn = abs(float(np.degrees(np.angle(np.vdot(z, w)))))  # of the turn and shift nearest to what was done
    if turn > ASLANT:
        raise _asking(Broken("seam line turned", _corners_and_middles(outline), turn=turn))


def _asking(broken: Broken) -> Broken:
    broken.asks = True
    return broken


def _corners_and_middles(outline: Outline) -> Array:
    return np.array([*(outline.corner(name) for name in CORNERS), *_middles(outline)])


def _was_asked(outline: Outline, rings: Array) -> bool:
    """Whether she has been asked how the line lies, as the rings in the middle of the top edge and the hem tell."""
    return bool((_distances(_middles(outline), rings).min(axis=1, initial=np.inf) <= RINGED).all())


def _middles(outline: Outline) -> Array:
    return np.array([edge.point(len(edge) / 2) for edge in (outline.edge("top edge"), outline.edge("hem"))])


# --- one closed line ----------------------------------------------------------------------------------


def ring_of(pieces: Sequence[Curve]) -> Curve:
    """Return the pieces, in whatever order and direction, joined end to end to one closed curve."""
    closed = [piece for piece in pieces if _gap(piece) <= JOINT]
    if len(closed) > 1:
        raise Broken("several closed seam lines", [piece.start for piece in closed], count=len(closed))
    if closed and len(pieces) > 1:
        strays = [piece for piece in pieces if piece is not closed[0]]
        raise Broken("stray pieces of a seam line", [piece.point(len(piece) / 2) for piece in strays])
    chain, rest = [pieces[0]], list(pieces[1:])
    while rest:
        here = chain[-1].end
        ends = [(float(np.hypot(*(end - here))), i, flip) for i, p in enumerate(rest) for flip, end in enumerate((p.start, p.end))]
        apart, i, flip = min(ends)
        if apart > JOINT:
            raise _open_at(here, rest[i].end if flip else rest[i].start)
        piece = rest.pop(i)
        chain.append(piece.reversed() if flip else piece)
    ring = Curve.chain(chain, gap=JOINT)
    if _gap(ring) > JOINT:
        raise _open_at(ring.end, ring.start)
    segments = np.array(ring.segments)
    segments[-1, 3] = segments[0, 0]
    return _without_specks(segments)


def _without_specks(segments: Array) -> Curve:
    """Return the ring without pieces too short to see, which close a gap and turn wildly."""
    long = np.ptp(segments, axis=1).max(axis=1) > AT_PLACE
    if not long.all() and long.sum() > 1:
        segments = segments[long]
        segments[:, 0] = np.roll(segments[:, 3], 1, axis=0)
    return Curve(segments)


def _gap(piece: Curve) -> float:
    return float(np.hypot(*(piece.end - piece.start)))


def _open_at(one: Array, other: Array) -> Broken:
    apart = float(np.hypot(*(one - other)))
    return Broken("seam line open", [one, other], gap=apart)


# --- how the line turns, and where it went as a whole -------------------------------------------------


def turning(ring: Curve) -> Array:
    """Return by how many degrees the closed ``ring`` turns around each of its nodes, clockwise on screen positive."""
    each = max(8, SAMPLES // len(ring))
    points = ring.point(np.arange(len(ring) * each + 1) / each)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    nodes, at, whole = points[:-1:each], along[:-1:each], along[-1]

    def point(s: Array) -> Array:
        s = s % whole
        return np.stack([np.interp(s, along, points[:, 0]), np.interp(s, along, points[:, 1])], axis=1)

    arm = min(ARM, whole / 50)
    arriving, leaving = nodes - point(at - arm), point(at + arm) - nodes
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    degrees: Array = np.degrees(np.arctan2(cross, (arriving * leaving).sum(axis=1)))
    return degrees


def whole_motion(nodes: Array, turns: Array, corners: Array, before: Array | None = None) -> Affine:
    """Return the affine map by which she moved, turned or scaled the line as a whole, or the identity.

    As a whole means that at least four of the nodes ``before`` (n, 2) agree on it (of the ``corners`` alone where those
    are all that is known; five of these, after simplifying), all six corners where it stretches the line out of shape;
    and that hardly any has stayed in its place.
    """
    before = corners if before is None else before
    stayed = _near(nodes, before, AT_PLACE)
    if stayed >= STAYS:
        return IDENTITY
    sharp = nodes[turns >= SHARP]
    if len(sharp) == len(corners):
        for shift in range(len(sharp)):
            found = np.roll(sharp, shift, axis=0)
            motion = _fit(corners, found)
            if np.hypot(*(motion.apply(corners) - found).T).max() <= AT_PLACE and not motion.mirrors:
                return motion
    if stayed >= 2:
        return IDENTITY
    exact = _agreed_similarity(nodes, before, AT_PLACE, least=4)
    if exact is not None:
        return exact
    if _near(nodes, corners, LOOSE) >= 3:
        return IDENTITY
    loose = _agreed_similarity(sharp, corners, LOOSE, least=5)
    if loose is None:
        return IDENTITY
    scale = float(np.sqrt(np.linalg.det(loose.linear)))
    if abs(scale - 1) <= ESTIMATE:
        middle = corners.mean(axis=0)
        turn = loose.linear / scale
        return Affine.of(np.column_stack([turn, loose.apply(middle[None])[0] - turn @ middle]))
    return loose


def _near(nodes: Array, corners: Array, within: float) -> int:
    """Return how many corners have a node within this distance."""
    return int((_distances(corners, nodes).min(axis=1) <= within).sum())


def _agreed_similarity(now: Array, before: Array, within: float, least: int) -> Affine | None:
    """Return the turn, scale and shift that brings most of the points ``before``, at least ``least``, onto those ``now``.

    Each of ``before`` and, of the others, that which follows it and that opposite are tried on every pair of ``now``
    (Fischler and Bolles 1981, Communications of the ACM 24(6), without the chance).
    """
    if not 2 <= len(now) <= MOST_TRIED:
        return None
    z, w = before @ [1, 1j], now @ [1, 1j]
    i, j = np.nonzero(~np.eye(len(w), dtype=bool))
    most, image = 0, z
    for step in (1, 2, len(z) // 2):
        for a in range(len(z)):
            along = z[(a + step) % len(z)] - z[a]
            if not along:
                continue
            ratio = (w[j] - w[i]) / along
            images = ratio[:, None] * (z - z[a]) + w[i][:, None]
            agreeing = (np.abs(images[:, :, None] - w).min(axis=2) <= within).sum(axis=1)
            if agreeing.max() > most:
                most, image = int(agreeing.max()), images[agreeing.argmax()]
    if most < least:
        return None
    apart = np.abs(image[:, None] - w)
    kept = apart.min(axis=1) <= within
    matrix = np.column_stack([z[kept], np.ones(kept.sum())])
    (r, s), *_ = np.linalg.lstsq(matrix, w[apart.argmin(axis=1)][kept], rcond=None)
    return Affine.of([[r.real, -r.imag, s.real], [r.imag, r.real, s.imag]])


def _fit(source: Array, target: Array) -> Affine:
    """Return the affine map that takes ``source`` (k, 2) nearest to ``target``, by least squares."""
    solved, *_ = np.linalg.lstsq(np.column_stack([source, np.ones(len(source))]), target, rcond=None)
    return Affine.of(solved.T)


# --- which nodes are the corners ----------------------------------------------------------------------


def line_before(drawn: Curve | None, corners: Array) -> Before:
    """Return the nodes of the Seam line as it was ``drawn``, with its ``corners`` (6, 2); these alone where it is not known."""
    if drawn is not None:
        ring = drawn if drawn.signed_area() > 0 else drawn.reversed()
        apart = _distances(corners, ring.nodes[:-1])
        nodes = np.roll(ring.nodes[:-1], -int(apart[0].argmin()), axis=0)
        places = [int(place) for place in _distances(corners, nodes).argmin(axis=1)]
        if (apart.min(axis=1) <= AT_PLACE).all() and places == sorted(set(places)):
            return Before(nodes, tuple(places))
    return Before(corners, tuple(range(len(corners))))


def _nodes_of(choice: Choice, nodes: Array, corners: Array) -> list[int]:
    """Return the nodes that were chosen.  Raises :class:`Broken` where one is lost, or she must be asked."""
    if choice.lost:
        raise _lost([CORNERS[k] for k in choice.lost], corners[list(choice.lost)])
    if choice.doubts:
        raise _in_doubt(choice, nodes)
    return [node for node in choice.nodes if node is not None]


def _in_doubt(choice: Choice, nodes: Array) -> Broken:
    asked = [k for doubt in choice.doubts for k in doubt.corners]
    could = [node for doubt in choice.doubts for node in doubt.nodes]
    one = {"corner": CORNERS[asked[0]]} if len(asked) == 1 else {"corners": _listed([CORNERS[k] for k in asked])}
    if not all(doubt.turning for doubt in choice.doubts):
        rule = "corner in doubt, none turns" if len(asked) == 1 else "corners in doubt, some do not turn"
        broken = Broken(rule, nodes[could], count=len(could), asked=len(asked), **one)
    elif len(could) == len(asked):
        broken = Broken("is this the corner" if len(asked) == 1 else "are these the corners", nodes[could], **one)
    elif len(asked) == 1:
        broken = Broken("corner in doubt", nodes[could], count=len(could), **one)
    else:
        broken = Broken("corners in doubt", nodes[could], count=len(could), asked=len(asked), **one)
    return _asking(broken)


def _listed(names: Sequence[str]) -> Fact:
    listed: Fact = names[0]
    for name in names[1:-1]:
        listed = Problem("list goes on", {"before": listed, "next": name})
    return Problem("list ends", {"before": listed, "last": names[-1]}) if len(names) > 1 else listed


def _lost(names: Sequence[str], places: Array) -> Broken:
    if len(names) == 1:
        return Broken("corner lost", places, corner=names[0])
    return Broken("corners lost", places, corners=_listed(names))


def cut_at(ring: Curve, places: Sequence[int]) -> Outline:
    """Return the clockwise ``ring`` cut at six of its nodes, the first being the back end of the top edge."""
    turned = Curve(np.roll(ring.segments, -places[0], axis=0))
    cuts = [(place - places[0]) % len(ring) for place in places] + [len(ring)]
    return Outline({name: turned.between(a, b) for name, a, b in zip(EDGES, cuts, cuts[1:])})


