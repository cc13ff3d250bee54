"""What the tool says where it can't do what was asked: every sentence, once, in her unit.

A sentence tells which measurement, what was read, what makes sense, and what to do.  In a template

* ``{length}`` writes a float as a length in her unit, to the nearest mark of her tape;
* ``{length:up}`` and ``{length:down}`` write it to the next mark that is not below or not above it, so that
  a limit holds when it is typed back as printed;
* ``{length:in}`` and ``{length:cm}`` write it in that unit, whichever is hers;
* ``{length:small}`` writes a difference finer than those marks, ``{length:exact}`` a length with decimals;
* ``{number:g}`` (any format of Python's) writes a plain number;
* ``{case}`` writes a part that is a :class:`~geometry.refusal.Problem` by its own template.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from string import Formatter

from geometry.measuring.lengths import MARKS, down_to_mark, up_to_mark, write_exact, write_length, write_small
from geometry.refusal import Problem, Refused

#: What belongs to measuring: lengths, tables of ranges, values for each tier.
MEASURING: Mapping[str, str] = {
    "not a length": "“{typed}” is not a length; write it like 13 3/8, 13.375 or 34 cm",
    "a unit and no number": "“{typed}” has a unit and no number",
    "nothing written": "nothing was written there",
    "not a number": "“{typed}” is not a number",
    "less than nothing": "“{typed}” is less than nothing; a length is measured from 0 up",
    "fraction not below 1": "“{typed}” holds a fraction that is not less than 1; write it like 13 3/8",
    "what was typed": "{label}: {problem}",
    "range": "What makes sense is {least:up} to {most:down}.",
    "range or 0": "What makes sense is {least:up} to {most:down}, or 0 ({zero}).",
    "range of any sleeve": "What makes sense is {least:up} or more, and what this sleeve allows: never more than {most:down}.",
    "range of any sleeve or 0": (
        "What makes sense is {least:up} or more, and what this sleeve allows: never more than {most:down}, or 0 ({zero})."
    ),
    "range or percent": "What makes sense is {least:up} to {most:down}, or 0 % to {percent} % of the girth.",
    "measurement unreadable": "{label}: {problem}. {sense}",
    "measurement out of range": "{label}: “{typed}” was read as {read}. {sense}",
    "measurement hardly out of range": "{label}: “{typed}” was read as {read:exact}. {sense}",
    "percent out of range": "{label}: “{typed}” was read. {sense}",
    "measurement looks like in": (
        "{label}: “{typed}” was read as {read}. {sense} The number looks like inches: choose inches as the unit, or write “{typed} in”."
    ),
    "measurement looks like cm": (
        "{label}: “{typed}” was read as {read}. {sense} The number looks like centimetres: choose centimetres as the unit, or write"
        " “{typed} cm”."
    ),
    "number out of range": "“{typed}” was read. What makes sense is {least:g} to {most:g}.",
    "whole number out of range": "“{typed}” was read. What makes sense is a whole number from {least:g} to {most:g}.",
    "count out of range": "{label}: “{typed}” was read. What makes sense is a whole number from {least} to {most}.",
    "one number or two": "{label}: “{typed}” could be one number or two. Write {one} for the one, {two} for the two.",
    "values for one tier": (
        "{label}: “{typed}” gives {values} values, but there is 1 tier. Write one value for all, 1 values from the top down, or the"
        " first and the last with “to” between them."
    ),
    "values for each tier": (
        "{label}: “{typed}” gives {values} values, but there are {tiers} tiers. Write one value for all, {tiers} values from the top"
        " down, or the first and the last with “to” between them."
    ),
}

#: What belongs to the client book.
BOOK: Mapping[str, str] = {
    "book unreadable": "Client book: “{book}” can't be read ({reason}).",
    "book folder missing": "Client book: there is no folder “{folder}”. Make it first, or choose another.",
    "book not in UTF-8": (
        "Client book: “{book}” is no text in UTF-8, so names and numbers in it can't be told. In the spreadsheet save it as CSV, with"
        " the character set UTF-8; nothing in it was changed."
    ),
    "no column of names": (
        "Client book: “{book}” has no column of names, so it may be another file. A book begins with a row of column names, one of them"
        " label, name or client; nothing in it was changed."
    ),
    "book not written": "Client book: “{book}” can't be written ({reason}). Nothing in it was changed.",
    "book in use": "Client book: “{book}” is being written by somebody else. Nothing in it was changed; try again in a moment.",
    "book not chosen": "Client book: choose a file of comma-separated values (.csv). One that is not there yet is begun when you keep a client.",
    "client without a name": "The sleeve has no name, so it can't be told whose row it is. Draft it again with a client or style.",
    "several rows of one name": "“{label}” stands in the book more than once (lines {lines}). Give each row a name of its own first.",
    "row of steps": "“{label}” is the name of a row of steps in the book (line {line}), for a run of sizes; a client needs a name of her own.",
    "another client of this name": (
        "“{label}” stands in line {line} of the book with quite other girths. If this is another client, draft her with a name of her own and"
        " keep that; if she has changed so much, empty the girths in that line first. Nothing in the book was changed."
    ),
    "changes only in the book": (
        "“{label}” has fitting changes in line {line} of the book that this sleeve has not: {changes}. To have them, draft the sleeve"
        " from the book; to let them go, empty that cell (fitting_changes) first. Nothing in the book was changed."
    ),
    "row of the book": "Client book, line {line}: {problem}",
    "cell of the book": "Client book, line {line}, column {column}, “{read}”: {problem}",
    "empty cell of the book": "Client book, line {line}, column {column}: {problem}",
    "name not in UTF-8": "the name is no text in UTF-8. In the spreadsheet save the book as CSV, with the character set UTF-8",
    "more cells than columns": (
        'the row has {cells} cells, the book {columns} columns. A comma within a cell wants quotes around it, as in "92,5"; or part the'
        " cells by semicolons"
    ),
    "no unit in the book": (
        "it can't be told whether lengths are inches or centimetres. Add a column unit with in or cm, write # unit: cm in a row above, or"
        " the unit behind a column's name, as in bust_girth (cm)"
    ),
    "no such base": "a run of sizes starts from one row of the book, and there is not just one of this name",
    "base not among the sizes": "the sizes are listed in order with a semicolon between, and the base is one of them",
    "size named twice": "each size has a name of its own; this one is there twice: {size}",
    "no steps there": "only lengths grow from size to size",
    "no steps from 0": "the base has 0 there, which is {zero}. Write there what it is in the base size, or no step",
    "nothing in the column": "nothing is written there, and it can't be left out",
    "no such choice": "what can be chosen is {choices}",
    "choices": "{listed}",
    "half a number": "it is the beginning of a number and nothing follows",
    "nobody to draft": "No client of the book was drafted. {why}",
    "no name for the book": "Client or style: nothing is written. To start from the book, write there the name of the row that you want.",
    "not in the book": "“{label}” is in no row of the book “{book}”. Names are compared as a whole, capitals or not.",
    "no folder for files": "Folder: “{folder}” is no folder that is there. Choose one that receives a folder for each client.",
    "folder not writable": "Folder: “{folder}” can't be written to ({reason}). What was written before is whole.",
}

#: What belongs to the sleeve: block, armholes, tier lines, finish.
SLEEVE: Mapping[str, str] = {
    # what holds
    "girth or level missing": (
        "{Name} girth and {name} level: one is 0 and the other is not. Give both, or 0 for both to leave the {name} out."
    ),
    "levels out of order": (
        "{Name} level: {level} was read, which is not below the {above} level at {above_level}. Both are measured from the top edge down."
    ),
    "hem wider than the arm": (
        "Hem girth: {hem} was read, more than the arm has anywhere above it (the {name}, {widest}). For a sleeve that widens to its hem choose"
        " “flared, to the hem width below” on the page Shape; in a fitted one up to {widest} makes sense."
    ),
    "level below the hem": (
        "{Name} level: {level} was read, which is not above the hem at {length} (the sleeve length). Both are measured from the top edge down."
    ),
    "level above the underarm": (
        "{Name} level: {level} was read, but the underarm lies {cap} below the top edge (the cap height), and the {name} lies below it: at"
        " {least:up} or more. Both are measured from the top edge straight down."
    ),
    "length needs a level": (
        "Length: “{style}” was chosen, but girth and level of the {wanted} are 0. Give them, or choose “as measured” and type the"
        " sleeve length."
    ),
    "hem girth unknown": (
        "Hem girth: 0 was read, but the hem lies {length} below the top edge and the arm is only known down to the {last} at {level}."
        " Give the hem girth."
    ),
    "hem girth or wrist unknown": (
        "Hem girth: 0 was read, but the hem lies {length} below the top edge and the arm is only known down to the {last} at {level}."
        " Give the hem girth, or girth and level of the wrist."
    ),
    "off-shoulder girth out of range": (
        "Off-shoulder girth: {girth} was read. Around both arms and the body of a bust of {bust}, shoulders of {shoulder} and an upper arm of"
        " {arm} it measures about {least:up} to {most:down}. Measure it again where the top edge will sit, arms hanging, and check those three."
    ),
    "no body edge": "Shoulder width {width} less the body edge reduction {reduction} leaves no body edge. Make the reduction smaller.",
    "no top edge": (
        "Off-shoulder girth: {girth} was read, but the two body edges alone take {edges}{by_rule}, which leaves nothing for the"
        " sleeves. Measure again around both arms and the body, or check the shoulder width."
    ),
    "edges as measured": "",
    "edges by the rule": " (by the rule, shoulder width less {reduction})",
    "no armhole": (
        "The top edge of the sleeve would be {top} wide and the sleeve at the underarm only {underarm}, so no armhole is left."
        " Check the off-shoulder girth ({girth}) and the shoulder width."
    ),
    "sleeve too short": (
        "Sleeve length: {length} was read, but the underarm already lies {cap} below the top edge (the cap height), which"
        " leaves no sleeve under it."
    ),
    "top edge too high": (
        "Raise of the top edge: {rise} was read. A top edge {top} wide on a cap {cap} high can be raised {most:down} at the most and"
        " stay smooth."
    ),
    "casing on a raised top edge": (
        "Raise of the top edge: a casing is folded at the top edge and lies flat only on a straight one; {rise} was read."
    ),
    # after a toile
    "change out of range": (
        "{label}: “{typed}” was read. One change can do up to {most:down} either way; what asks for more asks for another measurement."
    ),
    "change unreadable": (
        "Fitting changes: “{typed}” can't be read. Write each like 2026-11-26: elbow_front 3/8 in; hem_back -1 cm (why), with | between."
    ),
    "change crosses itself": "After these changes the Seam line would cross itself, so nothing was changed. Make them smaller, or in two steps.",
    "shape not carried": (
        "The shape of the selected sleeve can't be carried to this size: its edges would no longer meet. Draft this size without it, or"
        " carry a shape with fewer changes."
    ),
    "no elbow to lengthen below": (
        "Longer below the elbow: {amount} was read, but this sleeve has no elbow level between underarm and hem. Give it as longer above"
        " the elbow: that is all the way to the hem then."
    ),
    "no such level to fit": (
        "{Level}, {side}: {amount} was read, but this sleeve has no {level} level between underarm and hem. Give it at the underarm or the hem."
    ),
    "changed too much": (
        "Between {one} and {other} the sleeve measures {was} and would come to {would}. In one change it can go from half to twice of"
        " that: by {least:up} to {most:down}."
    ),
    "underarm moved too far": (
        "Underarm down: {lowered} was read. It lies {cap} below the top edge and {rest} above the {name}; neither may come to less than half of"
        " that or more than twice in one change: from {least:up} to {most:down} will do."
    ),
    "no such change": (
        "Take back: “{typed}” was read, but this sleeve has {count} fitting changes. Write the number beside one in the notes, or last."
    ),
    "change beside take back": (
        "Take back: “{typed}” stands beside changes ({changes}), and either may be left over in the dialog. Set Take back to 0 to make them,"
        " or them to 0 to take back."
    ),
    "made before": (
        "{changes}: just that was made last on {whose}, and may be left over in the dialog. Set it to 0, or tick “Make again” on the page"
        " Lengths and reason if it is meant. Nothing was changed."
    ),
    # the block
    "hem too narrow for the hand": (
        "Hem girth: {asked} with its ease makes a closed hem of {hem}, but the hand measures {hand} and has to pass: {missing:up} are"
        " missing."
    ),
    "outline can't be drawn": (
        "With these measurements no outline can be drawn: front and back, or girths and eases of neighbouring levels, are too unlike for so"
        " short a sleeve. Check the armhole seams, the girths with their levels, and the ease at each."
    ),
    "flare too narrow": (
        "Hem width of a flared sleeve: {flare} was read. From the {start}, which the arm and its ease need, a seam straight to that hem would"
        " narrow."
    ),
    "flare narrowed to too fast": (
        "Hem width of a flared sleeve: {flare} was read. From the {start} the seam narrows no faster than 45° from the grain and a turn of 25°,"
        " which makes the hem {least:up}."
    ),
    "flare beyond the circle": (
        "Hem width of a flared sleeve: {flare} was read. {most:down} makes a full circle; for more, sew on a flounce."
    ),
    "casing on a spread top edge": (
        "Hem width of a flared sleeve: {flare} is more than the seams can take, so the sleeve is spread, which bends its top edge, and a casing"
        " lies flat only on a straight one."
    ),
    "raised and spread top edge": (
        "Hem width of a flared sleeve: {flare} is more than the seams can take, so the sleeve is spread, which bends its top edge; it can’t"
        " be raised by {rise} as well."
    ),
    "hem too wide for its seam": (
        "Hem: a girth of {girth} and {ease} of ease at the hem on each half make it {hem} wide, for which the seam would have to lean out more than"
        " 45° or turn by more than 25°. By this seam it can be {most:down} wide."
    ),
    "last tier line through the hem": (
        "Tier line {tier}, the last one, would stand only {last} above the hem on the grain line and run out through the curved hem beside it."
        " The spacing must leave more for the last section."
    ),
    "last tier line past the ends of the hem": (
        "Tier lines: the last one would stand only {last} above the hem, which lies {least:up} higher at the seams than in the middle."
        " The spacing must leave {least:up} or more for the last section."
    ),
    "front and back too unlike": (
        "Front and back are too unlike: at the underarm they measure {front} and {back} from the grain line, and where the sleeve is"
        " narrowest one of them would keep less than {least:up}. Check the armhole seams of the bodice and the share of the front."
    ),
    "scooped too deep": (
        "Front scoop: {scoop} was read, {over:up} more than this armhole can be scooped before it would bend back on itself."
    ),
    "height kept": "With the cap height kept at {height}",
    "width kept": "With the width at the underarm kept at {width}",
    "matched too narrow": (
        "Armhole seam: with the cap height kept at {height} and the seams of the bodice the sleeve would be {width} wide at the"
        " underarm, but the arm with its ease needs {needed:up}: {missing:up} are missing. Measure the seams and the upper arm again, from the"
        " top edge to the underarm point."
    ),
    "matched too wide": (
        "Armhole seam: with the cap height kept at {height} the sleeve would be {width} wide at the underarm, {over:up} more than the"
        " {most:down} that make sense. Measure the seams again, from the top edge to the underarm point."
    ),
    "seams too short for the width": (
        "Armhole seam: with the width at the underarm kept at {width} the seams of the bodice are too short: even with a cap height of only"
        " {height:up} the sleeve would be {off} too wide for them. Measure the seams again, from the top edge to the underarm point."
    ),
    "seams too long for the width": (
        "Armhole seam: with the width at the underarm kept at {width} the seams of the bodice are too long: even with a cap height of"
        " {height:down} the sleeve would be {off} too narrow for them. Measure the seams again, from the top edge to the underarm point."
    ),
    "armhole seam too short": (
        "{Side} armhole seam: {seam} (with its ease) can't be met. {kept} it is at least {off:up} too short. Measure the seam again, from the"
        " top edge to the underarm point."
    ),
    "armhole seam too long": (
        "{Side} armhole seam: {seam} (with its ease) can't be met. {kept} it is at least {off:up} too long. Measure the seam again, from the"
        " top edge to the underarm point."
    ),
    # what would do instead
    "would do": "{label}: {least:up} to {most:down} would do, with all else as typed.",
    "or more would do": "{label}: {least:up} or more would do, with all else as typed.",
    "or less would do": "{label}: {most:down} or less would do, with all else as typed.",
    "percent would do": "{label}: up to {percent} % would do, with all else as typed.",
    "preset would do": "Ease: “{preset}” would do, with all else as typed.",
    "flare would do": "Shape: flared, with a hem width of {least:up} to {most:down}, would do, with all else as typed.",
    "shape would do": "Shape: {shape} would do, with all else as typed.",
    "no raise would do": "Raise of the top edge: 0 would do, with all else as typed.",
    "finish would do": "Finish of the top edge: {finish} would do, with all else as typed.",
    "no hand would do": "Hand girth: 0 would do where the hem opens, with all else as typed.",
    "level would do": "Tier lines: level would do, with all else as typed.",
    "tiers would do": "Tiers: {tiers} would do, with all else as typed.",
    "keeping the height would do": "Choosing to keep the cap height would do, with all else as typed: the width at the underarm gives.",
    "keeping the width would do": "Choosing to keep the width at the underarm would do, with all else as typed: the cap height gives.",
    # tier lines
    "number of tiers": "Tiers: {tiers} was read. What makes sense is 1 to {most}.",
    "snapped past the hem": (
        "Spacing: snapped to {snap} it is {spacing}, so the last of {tiers} lines would stand {last} below the top edge, on or past the"
        " hem at {length}. Choose a finer mark, fewer tiers or the exact spacing."
    ),
    "spaced past the hem": (
        "Spacing: the last of {tiers} lines would stand {last} below the top edge, on or past the hem at {length}. Choose smaller"
        " spacings, or fewer tiers."
    ),
    "tier lines on each other": (
        "Spacing: two tier lines would come to lie on each other. Choose a finer mark, fewer tiers or less growth."
    ),
    "fullness below 1": (
        "Fullness of the top edge: “{typed:g}” was read. An edge is at least as long as it lies on the body: write 1 or more, or 0 for"
        " the rule."
    ),
    "casing too narrow": (
        "Casing or facing depth: {casing} was read, too little for an elastic {elastic} wide, which needs {least:up} with its turn under."
    ),
    "no armhole with this fullness": (
        "Fullness of the top edge: with {fullness:g} it would be {top} wide and the sleeve at the underarm only {underarm}, so no"
        " armhole is left. {most:.2f} is the most."
    ),
    "facing below the underarm": "Casing or facing depth: {depth} was read, which would reach below the underarm. Make it less.",
    "lining too short": "Lining: hem shorter by {shorter} leaves no lining below the underarm. Make it less.",
    "part of the sleeve unreadable": (
        "Tiers on: “{typed}” was read. Write all, from 5 in, from 5 in to 12 in (levels below the top edge), or lines 2 to 4."
    ),
    "tiers off the sleeve": (
        "Tiers on: from {top} to {bottom} was read. Both are measured from the top edge down; the second lies below the first, and the"
        " hem at {length:down}."
    ),
    "no such tier lines": "Tiers on: lines {first} to {last} were read, of {tiers}. Lines are numbered from 1 at the top down.",
    "no room aslant": (
        "Front end lower by: {slant} is asked for (0 is one spacing), but these lines are so close together, or to top edge and hem, that none"
        " of them can run aslant."
    ),
    "aslant too far": (
        "Front end lower by: {slant} was read. Between these lines {most:down} is the most, or an end would meet the line above or the hem."
    ),
    "spread lines are level": (
        "Tier lines: this sleeve is so wide at the hem that it is spread, and on a spread sleeve lines are drawn level only. Choose level"
        " lines, or a narrower hem of the flared sleeve."
    ),
    "line off its side": (
        "Tier line {tier} meets the armhole before it comes down to the underarm. Draft it level, or move the first lines further down."
    ),
    "spacing unreadable": "Spacing: “{typed}” was read. Write equal, growing 1.1 (each so many times the one above), or a length, or one for"
    " each spacing with semicolons between.",
    "growth out of range": "growing “{typed}” was read. What makes sense is {least:g} to {most:g} times the spacing above.",
    "second tier line above the ends": (
        "Raise of the top edge: {rise} was read, but the second tier line lies only {second} below the middle of the top edge, above its"
        " ends. Raise the top edge less, or choose fewer tiers."
    ),
    # the cutting line
    "allowances too wide": "Seam allowance and hem allowance: {problem}.",
    "fold deeper than the seam beside it": (
        "what is folded at the {edge} is {depth} deep, but the seam beside it reaches only {most:down} from the fold; {most:down} or less would do"
    ),
    "allowance beyond the curve": "the {edge} is hollow and curves more tightly than its allowance of {depth} is deep, so nothing lies beside it",
    "allowances leave no edge": "the allowances beside the {edge} leave nothing of its own; make them narrower",
    "point outside the cutting line": "a point in the {edge} is so thin that the cutting line would cross it; make it blunt or take its node away",
    "cutting line crosses itself": (
        "the cutting line would cross itself; make the allowances narrower or, where the underarm seam turns too sharply for them, levels"
        " farther apart or more alike in girth"
    ),
    # the earlier sleeve
    "replaces another name": (
        "Replace: the sleeve that would be taken away is lettered “{old}”, the new one “{new}”. Select the sleeve that is meant, untick"
        " Replace to draw a second one, or tick “even one of another name” too."
    ),
    # the bodice in her document
    "armholes selected": "Armhole from the selection: {found} selected, but {wanted} needed. {how}",
    "both say one side": (
        "Armhole from the selection: “{one}” and “{other}” both say {side}. Label one of them front and the other back."
    ),
    "armhole no path": "Armhole from the selection: “{name}” is no path. {how} Ungroup a group; unlink a clone.",
    "armhole closed": (
        "Armhole from the selection: “{name}” is a closed line. {how} Break a whole bodice apart at its corners first."
    ),
    "armhole in pieces": (
        "Armhole from the selection: “{name}” is a path of {pieces} pieces. {how} Break a whole bodice apart at its corners first."
    ),
    "armhole out of range": (
        "{label}: “{name}” measures {length:cm} ({length:in}) at true size. {sense} Check that the bodice is drawn at true size."
    ),
    "nothing selected": "nothing is",
    "one selected": "one object is",
    "several selected": "{count} objects are",
    "how to select armholes": (
        "Select the armhole seam of the front, then that of the back, each a path of one piece from the top edge to the underarm point."
    ),
}

#: What belongs to her edits.
EDITING: Mapping[str, str] = {
    "tolerance unreadable": "Truing tolerance: {problem}. What makes sense is 0 to {most:down}; {usual:small} is usual.",
    "tolerance out of range": "Truing tolerance: “{typed}” was read. What makes sense is 0 to {most:down}; {usual:small} is usual.",
    "tolerance without a unit": (
        "Truing tolerance: “{typed}” was read without a unit, and could be two things. Write the unit behind it, as in {usual:small}."
    ),
    "seam line crosses itself once": "The Seam line crosses or touches itself in 1 place. Pull it apart there.",
    "seam line crosses itself": "The Seam line crosses or touches itself in {count} places. Pull it apart there.",
    "several closed seam lines": "There are {count} closed Seam lines in this sleeve. Delete all but the one that counts, or undo.",
    "stray pieces of a seam line": "Beside the closed Seam line there are stray pieces of one. Delete or join them.",
    "seam line open": "The Seam line does not close: there is a gap of {gap:small}."
    " Join the two end nodes there (node tool, Join selected nodes).",
    "tier line in pieces": "Tier line {number:.0f} lies in pieces, {gap} apart. Join the two end nodes there (node tool, Join selected"
    " nodes), or delete the piece that is not meant. A gap of up to {most:down} is bridged by itself.",
    "tier line to be joined": "Tier line {number:.0f} lies in pieces, {gap} apart. Run Re-measure After Editing… first: it joins them, and you see"
    " whether it is meant so.",
    "stray piece of a tier line": "Tier line {number:.0f} has a stray piece of {length:small} in its path, which is no line of its own. Delete or"
    " join it.",
    "tier lines without a name": "{count} lines without a name lie in the layer of the tier lines, more than are missing there ({missing}). Give"
    " those that are tier lines their names, as “Tier line 3” (Object > Object Properties, Label), delete the others or move them to another layer.",
    "corner lost": "The Seam line has lost the {corner} corner: there is no node that turns where it was."
    " Add a corner node there, or undo until it is back.",
    "corners lost": "The Seam line has lost the {corners} corners: there is no node that turns where they were."
    " Add a corner node there, or undo until they are back.",
    "list goes on": "{before}, {next}",
    "list ends": "{before} and {last}",
    "edge off the grain line": "The {edge} no longer crosses the grain line, so one half can't be mirrored onto the other. Move it back first.",
    "seam line marked": "{what} The drawing is now marked where it is; nothing else was changed.",
    "seam line broken": "{what} Re-measure After Editing… marks where it is.",
    "corner in doubt": "{count} nodes could be the {corner} corner of the Seam line, which is no longer where it was. Delete the rings at"
    " those that are not, so that one stays, and run Re-measure After Editing… again.",
    "corners in doubt": "{count} nodes could be the {corners} corners of the Seam line, which are no longer where they were. Delete the"
    " rings at those that are not, so that {asked} stay, and run Re-measure After Editing… again.",
    "seam line turned": "The Seam line lies turned by {turn:.1f}° against the grain line, and no node is where it was. If it was turned by"
    " mistake, undo that, or turn it back; if it is meant to lie so on the grain, leave all rings and run Re-measure After Editing… again.",
    "seam line flipped": "The Seam line alone was flipped: what was its front is its back now, beside tier lines and notches that were not. Undo"
    " that and flip the whole sleeve layer, if it is to lie mirrored; if the line is meant to be so, leave all rings and run Re-measure After"
    " Editing… again.",
    "corner in doubt, none turns": "The Seam line has lost the {corner} corner: no node turns where it was. If it is one of the {count} ringed nodes,"
    " delete the other rings and run Re-measure After Editing… again; if not, add a corner node there, or undo until it is back.",
    "corners in doubt, some do not turn": "The Seam line has lost the {corners} corners: too few nodes turn where they were. If they are among the"
    " {count} ringed nodes, delete the other rings, so that {asked} stay, and run Re-measure After Editing… again; if not, add corner nodes"
    " there, or undo until they are back.",
    "is this the corner": "Is the ringed node the {corner} corner of the Seam line? It lies far along an edge from where that was. If so, run"
    " Re-measure After Editing… again; if not, add a corner node where it was, or undo.",
    "are these the corners": "Are the ringed nodes the {corners} corners of the Seam line? They lie far along an edge from where those were."
    " If so, run Re-measure After Editing… again; if not, add corner nodes where they were, or undo.",
}

#: What belongs to strips, cloth and lay.
CLOTH: Mapping[str, str] = {
    "length or by rule": "{problem}. Write a length, or {by_rule}.",
    "length out of range, or by rule": "“{typed}” was read as {read}. What makes sense is {least:up} to {most:down}, or {by_rule}.",
    "fullness out of range": (
        "{problem} 1 lies flat without gathers, 4 is usual for soft net: count how many times the length of the line a strip is."
    ),
    "layers out of range": "{problem} A tier needs at least one layer; delete its tier line to leave it out.",
    "under-layer too short": (
        "Each under-layer shorter by …: tier {tier} is {drop} long in {layers} layers, so that the innermost would hardly be there. Each may"
        " be shorter by up to {most:down}."
    ),
    "under-layer too flat": (
        "Under-layers: fullness: with these percentages a layer of tier {tier} would have a fullness of {fullness:.2f}, less than its line is"
        " long. What lies flat is {least} %."
    ),
    "unlike layers as one": (
        "Layers are sewn together, as one: layers of different fullness can’t be drawn up as one. Sew them one by one, or give all the same"
        " fullness (100 %)."
    ),
    "more values than layers": "{label}: {values} values were read, and there is room for {most}. Give fewer, or more layers.",
    "too many other lines": "Other lines to ruffle: {lines} were read; up to {most} can be planned at once.",
    "other line without a length": (
        "Other lines to ruffle: “{typed}” has no length. Write its length behind its name, as in {typed} {example}; lines are parted by “;”."
    ),
    "other line without a name": "Other lines to ruffle: “{typed}” has no name. Write name and length, as in bodice front 13 in; bodice back 13 in.",
    "other line": "Other lines to ruffle, {name}: {problem}. A name has no figures in it; the length follows it, as in bodice front 13 in.",
    "other line out of range": (
        "Other lines to ruffle, {name}: “{typed}” was read as {read}. What makes sense is {least:up} to {most:down}."
    ),
    "edge without its allowance": (
        "Allowance for that edge: 0 was read, but a hem, with or without braid or wire, is turned up. Write auto, which is {by_rule}, or a"
        " length; or leave the edge as it is cut."
    ),
    "trim deeper than its tier": (
        "Bought trim hangs below it: {trim} was read, and tier {tier} hangs {drop} down in all, so that hardly any cloth would be left above"
        " the trim. Up to {most:down} would do there, or a longer drop."
    ),
    "allowance of a raw edge": (
        "Allowance for that edge: {hem} was read, but an edge that is left as it is cut, or bound with ribbon, takes none. Write auto or 0,"
        " or choose a hem."
    ),
    # tier lines
    "no tier lines": "This sleeve has no tier lines any more. Undo until they are back, or draft the sleeve again.",
    "tier line adrift": (
        "Tier line {tier} does not run from one side of the sleeve to the other. Move it back between the armhole or underarm seams,"
        " or delete it, then plan again."
    ),
    "tier line touches": (
        "Tier line {tier} touches or crosses {other}, so that no tier fits between them. Move one of the two, then plan again."
    ),
    "another tier line": "tier line {tier}",
    "the hem": "the hem",
    # tiers
    "more contrast than layers": (
        "Contrast layers: tier {tier} has {layers} layers, so that {contrast} of them can’t be in contrast. Give fewer, or more layers."
    ),
    "flounce no fuller than its seam": (
        "Fullness: {fullness:g} was read for tier {tier}, but a circular flounce must be fuller at its edge than where it is sewn on"
        " ({ratio:g}). Give a greater fullness, or a smaller inner arc."
    ),
    "flounce too tight": (
        "Fullness: {fullness:g} was read for tier {tier}, but with a drop of {drop} the inner circle of the flounce would be too small"
        " to cut. What can be cut is a fullness up to {most:g}; for more, make the tier longer or gather it a little (inner arc above 1)."
    ),
    # plans, money
    "no plan one_ribbon": (
        "One long ribbon: only gathered strips are cut from one. Pleats are joined in their inner folds, and flounces are no strips."
        " Choose another plan."
    ),
    "no plan fitted": (
        "Fullness that fits: no tier comes out as whole widths of the net within the percentage by which its fullness may move, or strips"
        " are to run along the length. Allow more, or choose another plan."
    ),
    "more cloths than layers": (
        "Layers: tier {tier} has {layers}, so that {contrast} of them in contrast and {inner} from the inner cloth are too many. Give fewer of"
        " either, or more layers."
    ),
    "no tier to buy": "Tiers bought ready gathered: {tier} was read, but tiers run to {last}. Give the numbers of tiers that there are.",
    "no cloth of the tiers": (
        "Base is cut from the cloth of the tiers, but every tier is bought ready gathered, so that there is no such cloth. Let the base be cut"
        " from a cloth of its own, or leave a tier to be cut."
    ),
    "no tier to time": "which was tier: {tier} was read, but tiers run to {last}. Give the tier that you timed.",
    "not a sum of money": "“{typed}” is not a sum of money; write it like 4.50, $4.50 or 4,50 €",
    "priced by another length": (
        "“{typed}” is the price of a {said}, and in this job it is that of a {per}. At that price a {per} is {same}: type that, or"
        " {amount} if it was meant for a {per}"
    ),
    "priced by something else": "“{typed}”: what stands here is for one {per}. Type the sum for that, alone: {amount}, if it is that",
    "two currencies": (
        "{label}: “{typed}” and {other}: “{other_typed}” are in two currencies, and sums are added as they stand. Which is meant? Write all of"
        " them in one currency, or without its sign. What stands in an empty field was kept from an earlier plan: type it anew."
    ),
    "a thousand or a decimal": "“{typed}” could be {thousand} or {decimal}. Write the one or the other, without a mark for thousands",
    "what was kept": (
        "{label}: {problem} It stands in your settings, kept from an earlier plan; type it anew, or delete the file"
        " tiered-sleeve-settings.ini in Inkscape's own folder."
    ),
    "it was kept": (
        "It stands in your settings, kept from an earlier use; type it anew, or delete the file tiered-sleeve-settings.ini in"
        " Inkscape's own folder."
    ),
    # cloth
    "net": "Net",
    "inner cloth": "Inner",
    "contrast": "Contrast",
    "base": "Base",
    "lining": "Lining",
    "border on a curve": (
        "The edge of a circular flounce is curved and can't lie along a border. On the page Plan let strips run across the width,"
        " along the length or whichever way is cheaper; or make the tiers of gathered strips or pleats."
    ),
    "cloth too narrow for a flounce": (
        "Net: {width} of usable width is too narrow for the flounce of tier {tier}. Choose wider net, a greater fullness (smaller"
        " circles) or a shorter drop."
    ),
    "cloth too narrow for a strip": (
        "{cloth}: {width:down} of usable width can be cut, shrinking taken off, but the strip of tier {tier} is {strip:up} wide. Choose cloth"
        " of {least:up} or more as bought, more tiers or a shorter drop."
    ),
    "cloth too narrow for a sleeve": (
        "{cloth}: {width:down} of usable width can be cut, shrinking taken off, but one sleeve with its allowances takes {sleeve:up} of it."
        " A usable width of {least:up} or more as bought would do."
    ),
    # the sleeve to plan for, and the files
    "scaled before planning": (
        "This sleeve is no longer the size it was drafted in: it was scaled, or the scale of the document was changed. Run Extensions >"
        " Tiered Sleeve > 2 Re-measure After Editing… first, which asks whether that was meant."
    ),
    "job sheet folder": (
        "Job sheet folder: “{folder}” {problem}. Or choose another folder with the button; leave it empty to plan without files. Nothing"
        " was drawn."
    ),
    "no folder": "is not a folder. Give the one that it lies in",
    "missing": "does not exist. Make the folder first",
    "not writable": "can’t be written to ({reason}). Ask whoever it belongs to",
    "no room": "has no room left on its disk or stick. Make some",
    "file not writable": "holds “{file}”, which can’t be replaced ({reason}); close it where it is open. The earlier files stand as they were",
}

#: What belongs to pages and paper.
PAPER: Mapping[str, str] = {
    "paper too small": "The paper is too small for this margin and overlap: next to nothing would be left in the middle of a sheet."
    " Take larger paper, a smaller margin or a smaller overlap.",
    "nothing to print": "There is nothing to print: what is ticked is hidden, or this sleeve does not have it yet.",
    "too many sheets": "That would take more than {most} sheets. Tick less, or take larger paper, a roll, or one large page for a copy shop.",
    "page off its origin": "The page of this document does not begin at 0, 0 (its viewbox reads “{viewbox}”), and the editor would leave lines"
    " out of the PDF without a word. In File > Document Properties… set X and Y of the viewbox to 0: the page moves, the drawing stays as it"
    " is. If they are 0 already, copy the sleeve into a new document. Then print again.",
    "page of other proportions": "The viewbox of this document (it reads “{viewbox}”) has other proportions than its page, and the editor would make"
    " sheets of a wrong size without a word. In File > Document Properties… set the viewbox to X 0, Y 0, width {wide} and height {high}: the"
    " drawing keeps its size. Then print again.",
    "nested sizes alike": "{one} and {other} are drawn with the same line: there are more sizes here than kinds of line. Hide the layer of one of"
    " them (Layer > Layers and Objects…), then print again.",
    "projection too large": "That would make a page of {wide:up} by {high:up}, and no page is longer than {most:down}. Tick less.",
    "too large at every scale": "The pattern does not fit on the sheet even at 1:{most}. Tick less, or take a smaller margin.",
    "paper too small for the first page": "The paper is too small for the first page, which carries both test squares and the map of"
    " the sheets: with a margin of {white:up} it must measure {wide:up} by {high:up}. Take larger paper, or a smaller margin.",
}

_WHERE_TO_SET_IT = "set its width and height in File > Document Properties, then try again"

_WAS_IT_MEANT = (
    ", so it fits a person of another size: it was scaled, or the scale of the document was changed. Nothing has been done yet."
    " Was that meant? Choose under “If the sleeve was scaled” in 2 Re-measure After Editing…, and apply it:\n\n"
    "• “it was meant” keeps the new size, with allowances and notches at their true size. The body measurements stay as"
    " typed, and the report says how the sleeve fits them now.\n\n"
    "• “take the scale back” gives the sleeve its drafted size again, with all your edits."
)

#: What belongs to her document: which sleeve, its record, its size, the selection, files.
DOCUMENT: Mapping[str, str] = {
    "document without size": f"This document has no size: {_WHERE_TO_SET_IT}.",
    "document size unreadable": f"This document's {{side}} reads “{{typed}}”, which is no size: {_WHERE_TO_SET_IT}.",
    "document scale unusable": "This document’s width, height and viewBox (“{typed}”) make its unit, or its place, so small or so large that nothing"
    f" can be drawn in it: {_WHERE_TO_SET_IT}.",
    "no drawing": "This document can’t be read as a drawing: it is empty, damaged or of another kind. Open it in Inkscape, save it as Inkscape"
    " SVG, then try again.",
    "drawing half read": "This document can’t be read to its end: it is damaged, or its groups are nested too deep, and what was read of it would"
    " replace all of it. Nothing was changed. Ungroup what is nested, save it as Inkscape SVG, then try again. (The reader says: {problem})",
    "no sleeve": "There is no sleeve in this document yet. Draw one with Extensions > Tiered Sleeve > 1 Draft Sleeve….",
    "nested sizes": "These are nested sizes, which only Print Pages takes. Draft the one size that you want by itself (Client Book…, “draft clients"
    " of the book”, its name under Clients), select any line of it, and try again.",
    "several sleeves": "There are {count} sleeves here: {called}. Select the one that is meant (any line of it) and try again.",
    "sleeve ungrouped": "The layer of this sleeve was ungrouped. Run Extensions > Tiered Sleeve > 2 Re-measure After Editing… first:"
    " it gathers the lines into a layer again.",
    "seam line gone": "This sleeve has no Seam line any more. Undo until it is back, or draft the sleeve again.",
    "seam line without nodes": "The Seam line of this sleeve has no nodes any more. Undo until it is back, or draft the sleeve again.",
    "no record": "“{called}” has no record of its measurements: draw the sleeve again.",
    "record damaged": "The record of measurements in “{called}” is damaged: draw the sleeve again.",
    "number lost": "“{called}” has lost what it needs to know ({name}): draw the sleeve again.",
    "number unreadable": "“{called}” says “{typed}”, which is no number, ({name}): draw the sleeve again.",
    "sleeve scaled": f"This sleeve measures {{across:.1%}} of what was drafted{_WAS_IT_MEANT}",
    "sleeve skewed": f"This sleeve was skewed: it leans by {{lean:.1f}}°, at {{across:.1%}} in width and {{down:.1%}} in length of what"
    f" was drafted{_WAS_IT_MEANT}",
    "sleeve turned over": "This sleeve lies mirrored: front and back have changed places, and its lettering can't be read. Was that meant? Choose in"
    " Re-measure After Editing…, under “If the sleeve was scaled”: “it was meant” leaves it so, “take the scale back” turns it over again.",
    "drawing unreadable": "This sleeve holds numbers that are none, or a group around it squeezes it flat or puts it out of reach. Undo until it"
    " is as it was, or draft the sleeve again.",
    "not re-measured": "This sleeve was edited since it was drafted or re-measured ({what}), so its Cutting line and lengths are those from before."
    " Run Re-measure After Editing… first.",
    "lines astray": "{lines}: outside the sleeve's own layer, or combined with other lines into one path. Run Re-measure After Editing… first:"
    " it brings lines back where they lie.",
    "lines clipped": "A clip or a mask lies over part of the pattern ({lines}), so that not all of it would be printed. Release it"
    " (Object > Clip > Release Clip, Object > Mask > Release Mask), then print again.",
    "put right first": "Put right first: {what}. Run Re-measure After Editing…: its report says how, and rings show where. If it is meant so,"
    " plan again after that.",
    "sleeve scaled unevenly": f"This sleeve measures {{across:.1%}} in width and {{down:.1%}} in length of what was drafted{_WAS_IT_MEANT}",
}

TEMPLATES: Mapping[str, str] = {**MEASURING, **BOOK, **SLEEVE, **EDITING, **CLOTH, **PAPER, **DOCUMENT}


def sentence(refusal: Refused, unit: str) -> str:
    """Return what to show to her: a paragraph for each problem, lengths in ``unit`` ("in" or "cm")."""
    return "\n\n".join(_written(problem, unit) for problem in refusal.problems)


def _written(problem: Problem, unit: str) -> str:
    template = TEMPLATES.get(problem.rule)
    if template is None:
        return problem.rule  # until every refusal has moved here
    return _Writer(unit).vformat(template, (), problem.facts)


#: Of what was typed no more letters are quoted.
LONGEST_QUOTED = 60


class _Writer(Formatter):
    """Fills in a template as the head of this module says."""

    def __init__(self, unit: str) -> None:
        self.unit = unit

    def get_value(self, key: object, args: Sequence, facts: Mapping) -> object:
        value = super().get_value(key, args, facts)
        return f"{value[:LONGEST_QUOTED]}…" if key == "typed" and len(str(value)) > LONGEST_QUOTED else value

    def format_field(self, value: object, spec: str) -> str:
        if isinstance(value, Problem):
            return _written(value, self.unit)
        if not isinstance(value, float):
            return super().format_field(value, spec)
        if spec == "up":
            return write_length(up_to_mark(value, self.unit), self.unit)
        if spec == "down":
            return write_length(down_to_mark(value, self.unit), self.unit)
        if spec in MARKS:
            return write_length(value, spec)
        if spec == "exact":
            return write_exact(value, self.unit)
        if spec == "small":
            return write_small(value, self.unit)
        return super().format_field(value, spec) if spec else write_length(value, self.unit)
