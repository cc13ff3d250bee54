"""What she needs to know to sew the sleeve to the bodice and to finish the top edge."""
from __future__ import annotations

from extension.drafting.top_edge_words import top_edge_sentences
from extension.wording import notes
from geometry.measuring.lengths import MARKS, write_length
from geometry.sleeve.draft import Draft, folded_on
from geometry.sleeve.hem import eased_share
from geometry.sleeve.truing import ROUNDING, TAPE_MARK, TOLERANCE

#: Where less ease was asked for, the seams are sewn edge to edge, millimetres: half of what a tape shows.
EDGE_TO_EDGE = 0.5


def making_up(draft: Draft, unit: str) -> list[str]:
    """Return sentences on the armhole seams, the notches and the finish of the top edge."""

    def say(length: float) -> str:
        return write_length(length, unit)

    sentences = []
    for match in draft.block.matches:
        sleeve = draft.seam.sewn_length(f"{match.side} armhole")
        ease = (draft.settled.front if match.side == "front" else draft.settled.back).ease
        off = sleeve - match.bodice - ease
        wrong = say(max(abs(off), MARKS[unit] / 2)) if abs(off) > TOLERANCE + ROUNDING else ""  # never 0
        sentences.append(notes.matched(match.side, say(sleeve), say(match.bodice), say(ease) if ease >= EDGE_TO_EDGE else "", wrong, off > 0))
    for notch in draft.notches:
        bodice = None if notch.from_top_edge_on_bodice is None else say(notch.from_top_edge_on_bodice)
        sentences.append(notes.notch(notch.side, say(notch.from_underarm), say(notch.from_top_edge), bodice))
    settled = draft.settled
    hem = draft.seam.edge("hem")
    if "hem" not in folded_on(draft.seam, settled):
        sentences.append(notes.hem_faced(say(settled.hem_allowance)))
    elif abs(differ := eased_share(hem, settled.hem_allowance) * hem.length()) > TAPE_MARK:
        sentences.append(notes.hem_turned_up(say(abs(differ)), differ > 0))
    sentences += top_edge_sentences(draft, say)
    return sentences
