"""What she needs to know to sew the sleeve to the bodice and to finish the head."""
from __future__ import annotations

from extension import wording
from geometry.draft import Draft
from geometry.lengths import write_length


def making_up(draft: Draft, unit: str) -> list[str]:
    """Return sentences on the armhole seams, the notches and the finish of the head."""

    def say(length: float) -> str:
        return write_length(length, unit)

    sentences = [wording.matched(match.side, say(match.sleeve), say(match.bodice), _eased(match, say)) for match in draft.block.matches]
    for notch in draft.notches:
        bodice = None if notch.from_head_on_bodice is None else say(notch.from_head_on_bodice)
        sentences.append(wording.notch(notch.side, say(notch.from_underarm), say(notch.from_head), bodice))
    casing = say(draft.allowances["head"])
    if draft.elastic:
        sentences.append(wording.elastic(casing, say(draft.elastic), f"{draft.style.elastic_ratio:g}"))
    elif draft.style.finish == "faced":
        sentences.append(wording.faced(casing if "head" in draft.folded else None))
    return sentences


def _eased(match, say) -> str:
    return say(match.sleeve - match.bodice) if match.sleeve > match.bodice else ""
