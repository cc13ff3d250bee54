"""What each dialog has to say, option by option: from the tables that the commands read, and here what no table says."""
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from extension import print_pages
from extension.drafting.bodice import SELECTED
from extension.drafting.start import STARTS
from geometry.cloth import job_choices, tier_choices
from geometry.measuring import measurements, toile
from geometry.measuring.lengths import write_length
from geometry.paper.papers import PAPERS
from geometry.sleeve.spacing import ALL, EQUAL, MOST_TIERS, SPACING_SNAPS


class Said(NamedTuple):
    """One option as a dialog shows it; the words of its choices or pages in their order."""

    kind: str
    label: str
    hint: str
    default: str
    words: tuple[tuple[str, str], ...] = ()
    limits: tuple[str, str] = ("", "")


UNITS = {"in": "inches", "cm": "centimetres"}
EITHER_WAY = {"either_way": "either way up", "one_way": "all the same way up"}


def typed(label: str, hint: str, default: str) -> Said:
    return Said("string", label, hint, default)


def chosen(label: str, hint: str, words: Mapping[str, str]) -> Said:
    """The first choice is the default."""
    return Said("optiongroup", label, hint, next(iter(words)), tuple(words.items()))


def ticked(label: str, hint: str, default: bool) -> Said:
    return Said("bool", label, hint, str(default).lower())


def counted(label: str, hint: str, default: int, most: int) -> Said:
    return Said("int", label, hint, str(default), limits=("1", str(most)))


def pages(**words: str) -> Said:
    """The pages of a dialog; the last one of each is its help."""
    return Said("notebook", "", "", next(iter(words)), (*words.items(), ("help", "Help")))


def rows(*tables: Mapping) -> dict[str, Said]:
    return {row.name: typed(row.label, row.how, row.default) for table in tables for row in table.values()}


def draft_sleeve() -> dict[str, Said]:
    return {
        "tab": pages(
            client="Client", body="Body", arm="Arm", bodice="Bodice", style="Ease and cap", shape_and_finish="Shape", top_edge="Top edge",
            tier_lines="Tiers",
        ),
        "unit": chosen("Unit", "The unit of numbers that name none, and of everything lettered in the drawing.", UNITS),
        "label": typed("Client or style", "Lettered on the pattern; may be empty.", ""),
        "start": chosen(
            "Measurements",
            "Take those of a sleeve in the drawing, and her name, whatever is typed below. With nothing typed the sleeve of an invented"
            " client is drawn.",
            STARTS,
        ),
        "book": Said(
            "path", "Client book",
            "Read only where the measurements come from the book: a file that Client Book keeps. Empty: the one that it used last.", "",
        ),
        **rows(measurements.TABLE, {number.name: number for number in measurements.NUMBERS}),
        # The host sends a default for an emptied field: of a body there is none.
        **{row.name: typed(row.label, row.how, "") for row in measurements.BODY if row.name in measurements.EXAMPLE},
        **{choice.name: chosen(choice.label, choice.how, choice.words) for choice in measurements.CHOICES},
        "selected_armholes": chosen(
            "Take them from the selected paths",
            "Measures paths of your bodice that are selected in the drawing, at true size. Each runs from the top edge to the underarm point.",
            SELECTED,
        ),
        "tiers": counted("Number of tiers", "The first tier line lies on the top edge; the others share the sleeve length.", 6, MOST_TIERS),
        "spacing": typed(
            "Spacing",
            "Distances from line to line: equal; growing 1.1 (each so many times the one above); or your own, one for all (3 in) or"
            " one from each line to the next (2 1/2; 2 3/4; 3 …).",
            EQUAL,
        ),
        "spacing_snap": chosen(
            "Snap the spacing to the tape",
            "Rounds the distance between tier lines to a mark of the tape. The notes in the drawing say what that does at the hem.",
            {snap: f"{snap[:-2]} {snap[-2:]}" if step else "no, exact" for snap, step in SPACING_SNAPS.items()},
        ),
        "show_working": ticked(
            "Show the working",
            "The notes hold every sum as it is done on paper, with this client's numbers: for a class, or to check by hand.", False,
        ),
        "tier_part": typed(
            "Tiers on", "all; from 5 in (below the top edge, down to the hem); from 5 in to 12 in; or lines 2 to 4 of them.", ALL
        ),
        "replace": ticked(
            "Replace the sleeve that is selected, or the only one",
            "Takes the earlier sleeve away, with every change made to it by hand. Not ticked: a second sleeve is drawn beside it.",
            False,
        ),
        "replace_other": ticked(
            "Replace even one of another name", "Not ticked: a sleeve that is lettered with another name is never taken away.", False
        ),
    }  # fmt: skip


EDGES = {
    "cut": "left as it is cut", "hemmed": "narrow hem", "rolled": "rolled hem", "ribbon": "bound with ribbon",
    "braid": "stiffened with horsehair braid", "wire": "fine wire in a rolled hem", "trim": "bought trim, already gathered",
}  # fmt: skip


def cutting_plan() -> dict[str, Said]:
    return {
        "tab": pages(tiers="Tiers", strips="Strips", more="Layers", cloth="Cloth", plan="Plan", hours="Hours", quote="Quote", job="Job sheet"),
        "unit": chosen(
            "Unit", "The unit of numbers that name none, and of everything lettered in the plan.", {"sleeve": "as the sleeve", **UNITS}
        ),
        "make": chosen(
            "Tiers are", "How every tier is made.",
            {"gathered": "gathered strips", "knife": "knife pleats", "box": "box pleats", "flounce": "circular flounces"},
        ),
        **rows(
            tier_choices.LENGTHS, tier_choices.BY_RULE_LENGTHS, tier_choices.NUMBERS, tier_choices.TEXTS, tier_choices.PRICES,
            tier_choices.TRIM_PRICES, job_choices.LENGTHS,
            job_choices.NUMBERS, job_choices.EVERY_SUM,
        ),
        "sleeves": counted("Sleeves", "How many to cut; every second one is mirrored.", 2, 20),
        "strip_direction": chosen(
            "Strips run",
            "Net has no grain, so strips may run either way. The plan says what each way takes. A border is that of the contrast, if there is any.",
            {
                "cheaper": "whichever way is cheaper", "across": "across the width", "along": "along the length",
                "border": "along a border at one selvedge, free edges on it", "borders": "along borders at both selvedges",
            },
        ),
        "base_cloth": chosen(
            "Base is cut from",
            "From the cloth of the tiers, its width, shrinkage, spare and price are those of Net, and strips are laid into what the sleeves"
            " leave. The lining may be cut with it, and is then bought with it. A width of 0 still means no base or no lining.",
            {
                "own": "a cloth of its own", "own_with_lining": "a cloth of its own, the lining with it",
                "net": "the cloth of the tiers", "net_with_lining": "the cloth of the tiers, the lining with it",
            },
        ),
        "net_way": chosen(
            "Pieces of tiers lie",
            "All the same way up where net or contrast has a nap or a pattern with a direction; it then runs down the strips, unless they"
            " run along the length.",
            {"any_way": "any way up", "one_way": "all the same way up"},
        ),
        "band_way": chosen(
            "A band lies",
            "The band of the top edge is cut from the base cloth. Along the grain it stretches least; across it may take much less cloth.",
            {"along": "along the grain, as its arrow says", "least": "across the grain where that takes less cloth"},
        ),
        "strip_edge": chosen(
            "Free edge", "How the free edge of every tier is finished. Net does not fray and may be left as it is cut.",
            EDGES,
        ),
        "under_edge": chosen(
            "Under-layers: free edge",
            "How the free edges of the layers under the outermost are finished.", {"as_outermost": "as the outermost layer’s", **EDGES},
        ),
        "end_shape": chosen(
            "Ends on the armhole", "Above the underarm the seam slants out from under a strip's end.",
            {"shaped": "cut along the seam", "gathered_in": "square, as wide as the free edge needs, gathered in"},
        ),
        "prefer": chosen(
            "Draw the plan with", "The job sheet shows all of them side by side.",
            {
                "best": "the least cost, cloth and time together", "least_cloth": "the least cloth", "fewest_joins": "the fewest joins",
                "one_ribbon": "one long ribbon for each width", "fitted": "fullness that fits the cloth",
            },
        ),
        "timed_tier": counted("which was tier", "The tier that you timed.", 1, MOST_TIERS),
        "maker": typed("Your name", "Printed at the top of the client’s page. Empty: as you typed it last.", ""),
        "currency": typed("Currency", "Printed with every sum: $, €, CHF. Empty: as you typed it last.", ""),
        "valid_until": typed("Valid until", "Printed on the client’s page as you write it. May be empty.", ""),
        "base_way": chosen(
            "Base lies",
            "Whether sleeves may be turned end for end on the cloth: not where it has a nap or a pattern with a direction. On a border the grain runs"
            " across the cloth.",
            {**EITHER_WAY, "on_border": "hems on the border"},
        ),
        "lining_way": chosen("Lining lies", "Whether sleeves may be turned end for end on the lining.", EITHER_WAY),
        "attach": chosen(
            "Attach the tiers", "Both are practised; the job sheet says how.",
            {"bottom_up": "from the bottom up", "top_down": "from the top down"},
        ),
        "layers_sewn": chosen(
            "Layers are sewn",
            "Whether the layers of a tier are gathered or pleated each by itself, which is fuller, or all as one, which is quicker."
            " Flounces always one by one.",
            {"one_by_one": "one by one", "together": "together, as one"},
        ),
        "show_working": ticked(
            "Show the working",
            "The job sheet holds every sum as it is done on paper, and the folder receives working.html, a page for a class.", False,
        ),
        "job_sheet_folder": Said(
            "path", "Folder for the job sheet",
            "Receives job sheet, cut list and quote, named after the client; those of the same job are replaced and kept once as .bak."
            " Empty: no files.",
            "",
        ),
    }  # fmt: skip


def remeasure_sleeve() -> dict[str, Said]:
    return {
        "tab": pages(edited="The edited sleeve"),
        "mirror": chosen(
            "Mirror", "Copies one edited half of the Seam line onto the other, across the grain line.",
            {
                "none": "no, front and back stay as they are", "front_to_back": "front onto back", "back_to_front": "back onto front",
            },
        ),
        "truing_tolerance": typed(
            "Truing tolerance",
            "How far the front and the back underarm seam may differ in length, 0 to 3/4 in or 2 cm. Write the unit behind it.",
            "1/32 in or 1 mm",
        ),
        "scaled": chosen(
            "If the sleeve was scaled",
            "A scaled sleeve fits a person of another size. If it was meant, the new size stays; else the sleeve gets its drafted"
            " size again and keeps your edits.",
            {"ask": "ask me", "meant": "it was meant", "undo": "take the scale back"},
        ),
    }  # fmt: skip


def fitting_changes() -> dict[str, Said]:
    return {
        "tab": pages(widths="Let out or take in", lengths="Lengths and reason"),
        **rows(toile.AMOUNTS),
        "reason": typed("Reason", "Lettered with the change and its date in the notes; may be empty.", ""),
        "again": ticked(
            "Make again what was made last, if it stands in these fields",
            "The dialog keeps what was typed last time. Not ticked: an amount that is just the one made last on a sleeve in this drawing is"
            " asked about.", False,
        ),
        "take_back": typed("Take back", "The number beside an earlier change in the notes, or last. 0 = none.", "0"),
    }


def client_book() -> dict[str, Said]:
    return {
        "tab": pages(book="Book"),
        "book": Said(
            "path", "Book",
            "A file of comma-separated values, one client to a row. One that is not there yet is begun. Empty: the one that you used last.", "",
        ),
        "action": chosen(
            "Do",
            "Keep writes the row of the sleeve that is selected, or the only one, or brings it up to date. Draft makes sleeves of rows.",
            {"keep": "keep the client of the selected sleeve", "draft": "draft clients of the book"},
        ),
        "clients": typed("Clients", "Whom to draft: names with a semicolon between, or all.", "all"),
        "arrange": chosen(
            "Arrange", "Where the sleeves come to stand.",
            {
                "beside": "each by itself, in this drawing", "nested": "nested: all sizes on one grain line and top edge",
                "files": "each in files of her own",
            },
        ),
        "folder": Said("path", "Folder for files", "Receives a folder for each client: the drawing, the job sheet and the cut list.", ""),
        "carry": ticked(
            "Carry the shape of the selected sleeve",
            "Every sleeve gets what you moved by hand on the selected one, or the only one, in its own size.", False,
        ),
    }  # fmt: skip


def print_pages_() -> dict[str, Said]:
    only = {
        "roll": "Read only where a roll is chosen.", "custom": "Read only where paper of another size is chosen.",
        "projector": "Read only where a page to project is chosen.", "small": "Read only where a small drawing is chosen.",
    }  # fmt: skip
    return {
        "tab": pages(paper="Paper", what="What to print", other="Projector, notebook"),
        "paper": chosen("Paper", "What is in your printer. “A4 or Letter” prints on either.", paper_words()),
        "orientation": chosen(
            "Orientation", "The better takes fewer sheets: all lie alike, or each row its own way where that saves a sheet.",
            {"better": "whichever takes fewer sheets", "portrait": "portrait", "landscape": "landscape"},
        ),
        "unit": chosen(
            "Unit", "The unit of numbers that name none, and of lengths lettered on the first page.", {"sleeve": "as the sleeve", **UNITS}
        ),
        **rows({length.name: length for length in print_pages.EVERY_SHEET}),
        **{
            length.name: typed(length.label, f"{length.how} {only[paper]}", length.default)
            for paper, lengths in print_pages.OWN_PAPER.items() for length in lengths
        },
        "colours": chosen(
            "To project", f"Which your projector shows better on your cloth. {only['projector']}",
            {"dark_on_light": "dark lines on light", "light_on_dark": "light lines on dark"},
        ),
        "grid": chosen("Grid", f"Set the projector until the squares measure true. {only['projector']}", {**UNITS, "none": "none"}),
        "scale": chosen(
            "Small", f"If all does not fit on the sheet it is drawn smaller still, and says so. {only['small']}", {"4": "1:4", "5": "1:5"}
        ),
        "sleeve": ticked("Sleeve", "The pattern and the lettering on it.", True),
        "pieces": ticked("Strips and pieces", "Where a cutting plan has drawn them.", True),
        "lay": ticked("Lay", "The cutting plan on the cloth, at the scale at which it is drawn. It may take many sheets.", False),
        "job_sheet": ticked("Job sheet", "The tables of the cutting plan.", False),
        "notes": ticked("Notes and reports", "Notes, and the reports that other commands have drawn beside the sleeve.", False),
    }  # fmt: skip


def paper_words() -> dict[str, str]:
    """Every size of the table by its name, the office sizes with their inches, then her own paper and what is no paper."""
    words = {}
    for name, paper in PAPERS.items():
        words[name] = paper.name
        if paper.name in ("Letter", "Legal", "Tabloid"):
            words[name] += f", {write_length(paper.width, 'in')[: -len(' in')]} by {write_length(paper.height, 'in')}"
    return {
        **words, "both": f"{PAPERS['both'].name} (fits both)", "one_page": "One large page for a copy shop",
        "roll": "Roll, as long as it takes", "custom": "Paper of another size", "projector": "One large page to project on the cloth",
        "small_A4": "Small, for the notebook: all on one A4 sheet", "small_letter": "Small, for the notebook: all on one Letter sheet",
    }  # fmt: skip


def said(command: str) -> dict[str, Said]:
    """What the dialog of a command has to say, by option."""
    return {
        "draft_sleeve": draft_sleeve, "cutting_plan": cutting_plan, "remeasure_sleeve": remeasure_sleeve, "print_pages": print_pages_,
        "fitting_changes": fitting_changes, "client_book": client_book,
    }[command]()  # fmt: skip
