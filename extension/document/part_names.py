"""What our parts of a drawing are called, in the mark by which they are found again."""
from __future__ import annotations

#: Outermost layers of ours.
SLEEVE, SHEETS = "sleeve", "sheets"

#: One of our pages.
PAGE = "page"

#: The lines of a sleeve.
SEAM_LINE, CUTTING_LINE, BODY_LINE, TIER_LINE, LEVEL_LINE = "seam line", "cutting line", "body line", "tier line", "level line"
GRAIN_LINE, GRAIN_ARROWHEAD = "grain line", "grain arrowhead"
FRONT_NOTCH, BACK_NOTCH = "front notch", "back notch"
NOTCH_OF = {"front": FRONT_NOTCH, "back": BACK_NOTCH}
PLACE_NOTCH = "place notch"

#: Lines that are carried over one by one, so that hers keep their colours, names and places in the stack.
LINES = (
    SEAM_LINE, BODY_LINE, CUTTING_LINE, TIER_LINE, LEVEL_LINE, GRAIN_LINE, GRAIN_ARROWHEAD, FRONT_NOTCH, BACK_NOTCH, PLACE_NOTCH,
)  # fmt: skip

#: The layers in which the Seam line and the tier lines are drawn.
SEAM_LAYER, TIER_LAYER = "seam layer", "tier layer"

#: The layers of a sleeve whose contents are lettering.
TIER_LENGTHS_LAYER, LEVEL_WIDTHS_LAYER, NAMES_LAYER = "tier lengths layer", "level widths layer", "names layer"
NOTES_LAYER, TEST_SQUARE_LAYER, FIT_LAYER, MARKS_LAYER = "notes layer", "test square layer", "fit layer", "truing marks layer"

#: The layer of the ticks by which gathers are spread, drawn over the tier lines.
GATHER_MARKS_LAYER = "gather marks layer"

#: What stands in them.
LETTERING, LEADER, TRUING_MARK = "lettering", "leader", "truing mark"

#: Reports beside a sleeve.
TRUING_REPORT = "truing report"

#: What there is to say about the clients of a book.
BOOK_REPORT = "book report"

#: Several sizes on one grain line, and one of them.
NESTED, SIZE_LAYER = "nested sizes", "size layer"

#: The layer of their names, at the ends of leaders.
SIZE_NAMES_LAYER = "size names layer"

#: The line of one of them that is cut along; its other lines are named alike.
NESTED_CUTTING_LINE = "nested cutting line"

#: What can be printed.
PRINTABLE = (SLEEVE, NESTED)
