"""Sentences that she reads in the drawing.  Lengths come in as text, already in her unit."""
from __future__ import annotations

PIECE = "Sleeve"
CUT = "Cut 2 (1 pair)"
GRAIN = "Grain along the centre line"

CAUTIONS = (
    "Nylon and polyester net melt and burn fast: keep net and ruffles away from flame, stoves and cigarettes; press cool, through a cloth.",
    "Mind blades, needles, pins and hot irons; put them out of reach of children.",
    "Children’s wear: cords, ties and elastic at neck or sleeve can catch or choke. Follow the rules for children’s clothes where you sell.",
    "Local rules and qualified practice come before anything written here. Sew a trial sleeve before you cut good cloth.",
)

PRINT_TRUE = "Print at 100 %, no “fit to page”; measure both test squares before you cut."


def note(kind: str, level: str, lengths: list[str]) -> str:
    """Return the sentence for one of :class:`geometry.block.Note`."""
    return _NOTES[kind].format(*lengths, level=level, Level=level.capitalize())


_NOTES = {
    "passed over": (
        "{Level} level passed over: a seam through it would wander in and out or turn sharply,"
        " so the seam is straightened there and the sleeve is wider than asked."
    ),
    "widened": (
        "Widened at the underarm from half width {0} (the rule) to {1}: the {level} with its ease asks for it."
    ),
    "above underarm": (
        "{Level} level lies {0} below the head, above the underarm at {1}: its girth is kept at the underarm instead."
    ),
}


def snapped_pitch(exact: str, drawn: str, last_level: str, last_section: str, difference: str, longer: bool) -> str:
    """Return what rounding the pitch to a mark of the tape does at the hem."""
    return (
        f"Pitch {drawn}, snapped to the tape from {exact} exactly. The last line stands {last_level} below the head,"
        f" {last_section} above the hem: the last section is {difference} {'longer' if longer else 'shorter'} than the others."
    )


def exact_pitch(exact: str, nearest: str) -> str:
    """Return how the lines were shared out, and the trap in adding up a rounded pitch."""
    return (
        f"Pitch {exact} exactly (about {nearest}). Mark every line from the head by the distance beside it,"
        " not by stepping the pitch: rounding would add up."
    )


def moved_tiers(count: int) -> str:
    """Return how to mark tier lines that she has put where she wants them."""
    if not count:
        return "No tier lines."
    return (
        f"{count} tier line{'s' if count > 1 else ''}, no longer at equal distances."
        " Mark every line from the head by the distance beside it, along the grain line."
    )


def scaled(across: float, down: float) -> str:
    """Return the question that a sleeve of another size than drafted asks; factors across and down."""
    size = f"{across:.1%}" if abs(across - down) < 5e-4 else f"{across:.1%} in width and {down:.1%} in length"
    return (
        f"This sleeve measures {size} of what was drafted: it was scaled, or the scale of the document was changed."
        " Was that meant? It changes the size of the person whom the sleeve fits. Choose under “If the sleeve was scaled”:\n\n"
        "• “It was meant” keeps the new size, with allowances and notches at their true size. The body measurements stay as"
        " typed, and the report says how the sleeve fits them now.\n"
        "• “Take the scale back” gives the sleeve its drafted size again, with all your edits."
    )
