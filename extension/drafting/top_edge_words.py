"""What she needs to know to finish the top edge, from the numbers that hold."""
from __future__ import annotations

import math
from typing import Callable

from extension.wording import pieces as words
from geometry.pieces.band import edge_around, edge_taken
from geometry.sleeve.draft import Draft, folded_on
from geometry.sleeve.rules import RULE_FULLNESS
from geometry.sleeve.settling import most_fullness
from geometry.sleeve.top_edge import BAND, BOUND, ELASTIC, LEAST_ELASTIC, stretch_of

#: A fullness this near to 1 is none.
_NONE = 1.001


def top_edge_sentences(draft: Draft, say: Callable[[float], str]) -> list[str]:
    """Return sentences on the finish of the top edge; ``say`` writes a length in her unit."""
    seam, top = draft.seam, draft.settled.top
    whole = say(edge_around(seam, draft.settled))
    sentences = []
    if top.fullness > _NONE:
        full = words.fullness(f"{top.fullness:g}", say(seam.sewn_length("top edge")), say(edge_taken(seam, draft.settled)))
        held = {ELASTIC: "", BAND: words.gathered_onto("band"), BOUND: words.gathered_onto("binding")}
        sentences.append(f"{full} {held.get(top.finish, words.GATHERED_WITH_FACING)}".rstrip())
    if top.finish == ELASTIC:
        sentences += elastic_sentences(draft, say)
    elif top.finish == BAND:
        sentences.append(words.band(say(top.width), whole))
    elif top.finish == BOUND:
        sentences.append(words.bound(say(top.width), say(top.binding_cut), whole))
    elif "top edge" in folded_on(seam, draft.settled):
        sentences.append(words.facing_in_one(say(top.casing)))
    else:
        sentences.append(words.FACING_BY_ITSELF)
    return sentences


def elastic_sentences(draft: Draft, say: Callable[[float], str]) -> list[str]:
    """Return how casing and elastic are made, and whether they pass over the shoulders."""
    settled, top = draft.settled, draft.settled.top
    body_edges = settled.front.edge + settled.back.edge
    edge = draft.seam.sewn_length("top edge")
    stretch = stretch_of(top, edge, body_edges, settled.off_shoulder_girth)
    least = math.ceil(20 * (stretch.needed - body_edges) / (2 * edge / top.fullness)) / 20
    rule = RULE_FULLNESS[ELASTIC]
    fuller = "" if stretch.edge_passes else f"{least:g}" if least <= most_fullness(settled) else words.NONE_DOES
    longer = "" if stretch.elastic_passes else f"{math.ceil(100 * LEAST_ELASTIC) / 100:g}"
    lessened = [words.lessened(f"{rule:g}")] if not settled.style.edge_fullness and top.fullness < rule else []
    return [
        *lessened,
        words.casing(say(top.casing), say(top.stitched), say(top.elastic_width)),
        words.elastic(say(top.elastic), say(top.elastic + top.lap), f"{settled.style.elastic_ratio:g}"),
        words.stretch(say(stretch.needed), say(stretch.flat), say(stretch.elastic), fuller, longer),
    ]
