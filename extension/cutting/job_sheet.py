"""The job sheet: what is cut, bought and sewn, as one text for the drawing and for the page."""
from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple

import inkex

from extension.cutting.end_sheet import bare_warnings, end_sentences, end_table, gather_table, pleat_marks, row_name
from extension.cutting.flat_sheet import draw_flat
from extension.cutting.lay_sheet import Picture, lay_sentences, strip_codes, write_bought
from extension.cutting.sewing_steps import Making, notions, sewing_steps
from extension.drawing.sheet import Column, Sheet
from extension.drawing.tables import Table, draw_table
from extension.wording import edges, job
from extension.wording.notes import CAUTIONS, NEXT, NEXT_AFTER_PLAN
from extension.wording.sewing import TIMES
from extension.wording.strip_ends import GATHERS_TITLE, PLEATS_TITLE, TITLE
from extension.wording.ways import WAYS
from geometry.cloth.buying import Purchase
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.edges import EDGES, TrimBought, edges_in_all, edges_used, trim_length, trim_of
from geometry.cloth.flat import View
from geometry.cloth.flounce import Flounce
from geometry.cloth.lay import Ribbon, StripLay
from geometry.cloth.making import TRIM
from geometry.cloth.masters import masters_of
from geometry.cloth.price import Quote, Rates, quote, quote_sums
from geometry.cloth.tape import Tape
from geometry.cloth.tier_choices import allowance_by_rule
from geometry.cloth.work import GUESSED, OPERATIONS, thread_length
from geometry.measuring.lengths import up_to_mark, write_fine, write_length
from geometry.measuring.sums import Sum

#: The sheet in the drawing: words on the left are this wide, the flat and the steps stand right of the tables.
_WORDS_WIDTH, _STEPS_WIDTH, _GAP = 200.0, 176.0, 14.0


class Steps(NamedTuple):
    """Numbered steps."""

    rows: Sequence[str]


class Section(NamedTuple):
    """A heading and what stands under it."""

    heading: str
    body: Sequence[str | Table | Steps]


class Terms(NamedTuple):
    """What a job sheet says beside its plan: what she asks, in which ``currency``, until when, and who asks it; and what could not
    be kept of that (a sentence, else empty).
    """

    rates: Rates
    currency: str = ""
    valid_until: str = ""
    maker: str = ""
    problem: str = ""


class JobSheet(NamedTuple):
    """The text of a job sheet, and what is ``asked`` for the job.  ``pages_only`` are for the page, too long for the drawing."""

    label: str
    warnings: Sequence[str]
    tables: Sequence[Section]
    steps: Sequence[Section]
    pages_only: Sequence[Section]
    asked: Quote | None = None


# --- what it says ---------------------------------------------------------------------------------


def write_job_sheet(making: Making, label: str, measured: Table, out_of_date: bool, terms: Terms) -> JobSheet:
    """Return the job sheet of what is made."""
    plan = making.plan
    way, mark = WAYS[plan.job.style.make], job.MARK_WORD[plan.job.tape.unit]
    asked = asked_price(making, terms.rates)
    return JobSheet(
        label=label,
        warnings=[*warnings(plan, out_of_date), *([terms.problem] if terms.problem else [])],
        tables=[
            Section("Measured", [measured]),
            Section(f"Tiers: {way.name if plan.cut else job.BOUGHT}", [
                tier_table(plan), *([*shaping_table(plan), job.how_cut(way.cut, mark)] if plan.cut else []), *layer_notes(plan), *ring_notes(plan),
            ]),
            Section(TITLE, [end_table(plan), *end_sentences(plan)]),
            *([Section(GATHERS_TITLE, gathers)] if (gathers := gather_table(plan)) else []),
            *([Section(PLEATS_TITLE, pleats)] if (pleats := pleat_marks(plan)) else []),
            *([Section(edges.TITLE, [edge_table(plan), edges.NOTE])] if plan.cut else []),
            *([Section("Plans to choose from", [offer_table(plan, terms.currency), *offer_notes(plan)])] if plan.cut else []),
            Section("What to buy", [buying_table(plan), *notions(making), *buying_notes(plan)]),
        ],
        steps=[
            Section("Sewing order", [TIMES, Steps(sewing_steps(making))]),
            Section("Thread and time", [work_sentence(plan), hours_table(plan), *hours_notes(plan)]),
            *([Section(job.QUOTE_TITLE, quote_parts(asked, terms))] if asked else []),
            Section("Care and cautions", [*job.CARE, *CAUTIONS]),
            Section(NEXT, [NEXT_AFTER_PLAN.format(trial=way.trial)]),
        ],
        pages_only=[section for each in plan.chosen.purchases if isinstance(each.lay, StripLay) for section in strip_sections(plan, each)],
        asked=asked,
    )


def working_section(sums: Sequence[Sum], unit: str) -> Section:
    """Return every sum as it is done on paper."""
    from extension.wording import working  # rarely wanted

    return Section(working.HEADING, [working.about(unit), Steps([working.written(each, unit) for each in sums])])


def warnings(plan: CuttingPlan, out_of_date: bool) -> list[str]:
    """Return what she should know before she cuts."""
    style, unit = plan.job.style, plan.job.tape.unit
    found = [job.OUT_OF_DATE] if out_of_date else []
    for tier, below in zip(plan.tiers, [*(tier.number for tier in plan.tiers[1:]), None]):
        if tier.overlap < -1e-6:
            found.append(job.stitching_shows(tier.number, below, write_up(-tier.overlap, unit)))
    small = [t.number for t in plan.tiers[:-1] if -1e-6 <= t.overlap < style.gathering_allowance - 1e-6]
    if small:
        found.append(job.overlap_small(job.numbers(small), write_length(style.gathering_allowance, unit)))
    found += bare_warnings(plan)
    caution = WAYS[style.make].caution
    held = [tier.number for tier in plan.tiers if caution and not tier.is_bought and caution.holds(tier.made)]
    if caution and held:
        found.append(caution.sentence.format(tiers=job.numbers(held)))
    return found


def write_up(millimetres: float, unit: str, with_unit: bool = True) -> str:
    """Return a length to cut: never less than is needed."""
    return write_length(up_to_mark(millimetres, unit), unit, with_unit)


def tier_table(plan: CuttingPlan) -> Table:
    """Return the table of tiers, a row for each cloth that one is cut from; numbers are in her unit."""
    unit = plan.job.tape.unit
    measured = ["Tier", f"Line\n({unit})", "Spacing", "Drop", "Fullness", "Cut\nwidth", "Cut\nlength"]
    counted = ["Layers", "Strips\nin all", "Joins\neach", "Joins\nin all"]
    rows = []
    for tier in plan.hung:
        lengths = [write_length(length, unit, False) for length in (tier.line, tier.spacing, tier.drop)]
        for row in plan.rows(tier):
            counts = row.strips // tier.copies(plan.job.sleeves), row.strips, row.joins, row.all_joins
            name = row_name(tier, "" if row.cloth == "net" else row.cloth)
            cut = [f"{tier.fullness:.3g}", write_up(tier.cut_width, unit, False), write_up(row.cut, unit, False)]
            rows.append([name, *lengths, *cut, *map(str, counts)])
        if tier.is_bought:
            counts = tier.layers, tier.layers * plan.job.sleeves, 0, 0
            rows.append([row_name(tier, job.BOUGHT), *lengths, "–", "–", write_up(trim_of(tier), unit, False), *map(str, counts)])
    return Table([*measured, *counted], rows)


def layer_notes(plan: CuttingPlan) -> list[str]:
    """Return how layers are counted and cut where they are not all alike."""
    differ = [tier for tier in plan.hung if tier.layers < tier.all_layers]
    if not differ:
        return []
    unlike = len({(tier.number, tier.cut_width) for tier in differ}) > len({tier.number for tier in differ})
    shaped = unlike and any(end.follows for tier in differ if tier.made.pattern is None and not tier.is_bought for end in tier.ends)
    return [job.LAYERS_COUNTED, *([job.LAYERS_BY_ONE_TEMPLATE] if shaped else [])]


def ring_notes(plan: CuttingPlan) -> list[str]:
    """Return which flounces are cut from one master."""
    unit, said = plan.job.tape.unit, []
    for _, cuts in masters_of(plan.patterns):
        widest = max((cut.tier for cut in cuts), key=lambda tier: tier.cut_width)
        if len(cuts) > 1 and isinstance(widest.made, Flounce):
            radii = (f"{write_fine(radius, unit)} {unit}" for radius in widest.made.cut_radii)
            said.append(job.one_master([row_name(cut.tier) for cut in cuts], *radii))
    return said


def shaping_table(plan: CuttingPlan) -> list[Table]:
    """Return the table of what only this way to make a tier has, if it has any."""
    unit, columns = plan.job.tape.unit, WAYS[plan.job.style.make].columns
    if not columns:
        return []
    rows = [[row_name(tier), *(column.cell(tier.made, unit) for column in columns)] for tier in plan.cut]
    return [Table(["Tier", *(column.head.format(unit=unit) for column in columns)], rows)]


def edge_table(plan: CuttingPlan) -> Table:
    """Return what every finish of the free edges takes, side by side."""
    tape, sleeves, timing, style = plan.job.tape, plan.job.sleeves, plan.timing, plan.job.style
    used = [name for name, _ in edges_used(style, plan.cut)]
    marked = dict.fromkeys(used, edges.UNDER_LAYERS) | {style.edge: edges.CHOSEN}
    around = edges_in_all(plan.cut, sleeves)
    width = plan.chosen.purchases[0].lay.width
    rows = []
    for name, edge in EDGES.items():
        hem = style.hem if name == style.edge else allowance_by_rule(name, tape.unit)
        wider = hem - (style.trim_depth if name == TRIM else 0.0)
        trim = trim_length(edge, plan.cut, sleeves, plan.job.trim_terms.spare).result
        minutes = timing.all_taken({edge.operation: around / tape.priced_by} if edge.operation else {})
        guess = "*" if edge.operation and timing.minutes[edge.operation] == GUESSED[edge.operation] else ""
        rows.append([
            edges.EDGE_WORDS[name].name + marked.get(name, ""), write_length(hem, tape.unit, False) if hem else "–",
            write_run(around * wider / width, tape, 1).replace("-", "−") if wider else "–", write_bought(tape.to_sell(trim), tape) if trim else "–",
            job.duration(minutes) + guess if minutes else "–",
        ])  # fmt: skip
    return Table(["Free edge", f"Allowance\n({tape.unit})", "More\nnet", "Trim", "Time"], rows)


def buying_table(plan: CuttingPlan) -> Table:
    """Return the table of cloths: what each plan takes and how much to buy."""
    tape = plan.job.tape
    costs = [bought.cost for bought in (*plan.purchases, *plan.trims)]
    priced = any(cost is not None for cost in costs)
    head = ["Cloth", "Usable\nwidth", "Plan\ntakes", "Shrinks", "Spare", "Buy", *(["Cost"] if priced else [])]
    rows = []
    for purchase in plan.purchases:
        cloth = purchase.cloth
        cost = ["–" if purchase.cost is None else f"{purchase.cost:.2f}"] if priced else []
        buy = job.bought_with(purchase.bought_with) if purchase.bought_with else write_bought(purchase.buy, tape)
        rows.append([
            job.first_up(cloth.called), write_length(purchase.lay.width, tape.unit), write_length(purchase.lay.length, tape.unit),
            f"{cloth.shrinkage * 100:.3g} %", f"{cloth.spare * 100:.3g} %", buy, *cost,
        ])  # fmt: skip
    for trim in plan.trims:
        bought = [trim_name(trim, tape.unit), "–", "–", "–", f"{plan.job.trim_terms.spare * 100:.3g} %", write_bought(trim.buy, tape)]
        rows.append([*bought, *(["–" if trim.cost is None else f"{trim.cost:.2f}"] if priced else [])])
    if priced:
        rows.append(["In all", "", "", "", "", "", f"{sum(cost or 0 for cost in costs):.2f}"])
    return Table(head, rows)


def trim_name(trim: TrimBought, unit: str) -> str:
    """Return what a trim is called in a table."""
    return edges.trim_words(trim.edge).trim.format(deep=write_length(trim.deep, unit))


def buying_notes(plan: CuttingPlan) -> list[str]:
    """Return of every lay's sentences those on length and direction."""
    cloths = [purchase.cloth.name for purchase in plan.purchases]
    in_all = [
        job.in_all_colours(name, write_bought(sum(each.buy for each in plan.purchases if each.cloth.name == name), plan.job.tape))
        for name in dict.fromkeys(cloths) if cloths.count(name) > 1
    ]  # fmt: skip
    return in_all + [
        sentence
        for purchase in plan.purchases
        for sentence in lay_sentences(plan, purchase)[: 2 if isinstance(purchase.lay, StripLay) else 1]
    ]


# --- the plans side by side -----------------------------------------------------------------------


def offer_table(plan: CuttingPlan, currency: str) -> Table:
    """Return the plans that there are to choose from, side by side."""
    cloths = [job.first_up(purchase.cloth.called) for purchase in plan.chosen.purchases]
    cost = f"Cost\n({currency})" if currency and plan.chosen.priced else "Cost"
    rows = [
        [
            job.plan_name(each.names, each is plan.chosen),
            *(write_bought(purchase.buy, plan.job.tape) for purchase in each.purchases),
            str(each.joins),
            f"{each.minutes:.0f}",
            f"{each.cost:.2f}" if each.priced else write_run(each.cost, plan.job.tape, 1),
        ]
        for each in plan.offers
    ]
    return Table(["Plan", *cloths, "Joins", "Minutes of\ncutting, joining", cost], rows)


def offer_notes(plan: CuttingPlan) -> list[str]:
    """Return how plans are compared, and what fullness that fits does."""
    unit = plan.job.tape.unit
    said = [job.how_chosen(plan.chosen.priced, write_length(plan.job.worth.join_worth, unit))]
    for each in plan.offers:
        if "fitted" in each.names:
            moves: dict[tuple[str, str], list[int]] = {}
            for tier in each.tiers:
                before, after = f"{plan.wanted[tier.number, tier.first_layer]:.3g}", f"{tier.fullness:.3g}"
                if before != after and tier.number not in moves.setdefault((before, after), []):
                    moves[before, after].append(tier.number)
            said.append(job.fitted_sentence([(job.numbers(tiers), *move) for move, tiers in moves.items()]))
    return said


# --- strip by strip -------------------------------------------------------------------------------


def strip_sections(plan: CuttingPlan, purchase: Purchase) -> list[Section]:
    """Return strip by strip what a lay holds, and how ribbons are cut."""
    lay, unit = purchase.lay, plan.job.tape.unit
    if not lay.ribbons:
        return [Section(f"Strip by strip: {purchase.cloth.called}", [strip_table(lay, unit)])]
    found = []
    for ribbon in lay.ribbons:
        title = f"Ribbon of {purchase.cloth.called}, {write_length(ribbon.width, unit)} wide"
        joined = job.ribbon_sentence(ribbon.bands, write_length(ribbon.length, unit))
        found.append(Section(title, [joined, ribbon_table(lay, ribbon, unit)]))
    return found


def ribbon_table(lay: StripLay, ribbon: Ribbon, unit: str) -> Table:
    """Return the running list of cuts of a ribbon."""
    codes = strip_codes(lay.strips)
    rows = []
    for cut in ribbon.cuts:
        strip = lay.strips[cut.strip]
        lengths = [write_length(place, unit, False) for place in (cut.start, cut.end)]
        joins = ", ".join(write_length(place, unit, False) for place in cut.joins) or "–"
        rows.append([codes[cut.strip], str(strip.sleeve or "–"), str(strip.layer), *lengths, joins])
    return Table(["Strip", "Sleeve", "Layer", f"Cut from\n({unit})", "to", "Joins in it, from\nits beginning"], rows, words=3)


def strip_table(lay: StripLay, unit: str) -> Table:
    """Return strip by strip from which pieces it is joined, in their order; strips that are cut alike share a row."""
    pieces: list[list[str]] = [[] for _ in lay.strips]
    for piece in lay.pieces:
        pieces[piece.strip].append(write_length(lay.cut(piece), unit, False))
    rows = []
    every = sorted(zip(strip_codes(lay.strips), lay.strips, pieces, lay.places), key=lambda each: (each[1].tier, each[1].layer, each[1].sleeve))
    alike = groupby(every, key=lambda each: (each[1].tier, each[1].width, each[2]))
    for _, group in alike:
        strips = list(group)
        (first, strip, parts, places), (last, *_) = strips[0], strips[-1]
        joins = ", ".join(write_length(place, unit, False) for place in places) or "–"
        layers = sorted({strip.layer for _, strip, _, _ in strips})
        name, number = first if first == last else f"{first} to {last}", str(len(strips))
        rows.append([name, job.run(layers), " + ".join(parts), joins, number, write_up(strip.width, unit, False)])
    head = ["Strips", "Layers", f"Pieces, from the back underarm\nseam on ({unit})", "Joins stand from\nthat end at", "Number", "Cut width"]
    return Table(head, rows, words=4)


# --- work and price -------------------------------------------------------------------------------


def work_sentence(plan: CuttingPlan) -> str:
    """Return how much there is to sew, and the guess at thread and time."""
    tape, amounts = plan.job.tape, plan.amounts
    joined = sum(row.all_joins * tier.cut_width for tier in plan.cut for row in plan.rows(tier)) / tape.priced_by
    thread = write_run(thread_length(amounts, joined) * tape.priced_by, tape)
    if not plan.cut:
        return job.work_sentence("", "", "", thread, job.duration(sum(plan.whole_minutes.values())))
    strip, line = (write_run(length, tape) for length in (plan.taken_length, plan.line_length))
    stitched = WAYS[plan.job.style.make].thread.format(rows=plan.cut[0].made.rows)
    return job.work_sentence(strip, line, stitched, thread, job.duration(sum(plan.whole_minutes.values())))


def hours_table(plan: CuttingPlan) -> Table:
    """Return the time of every operation."""
    tape, amounts, taken, timing = plan.job.tape, plan.amounts, plan.whole_minutes, plan.timing
    sold = job.LONG_UNIT[tape.unit]
    rows = []
    for operation in OPERATIONS:
        name = operation.name
        if amounts[name]:
            amount = f"{amounts[name]:.0f}" if operation.per == "piece" else f"{amounts[name]:.1f} {sold}"
            each = timing.minutes[name]
            guess = "*" if each == GUESSED[name] else ""
            rows.append([job.OPERATIONS[name], amount, f"{each:g}{guess}", str(taken[name])])
    rows.append(["In all", "", "", job.duration(sum(taken.values()))])
    return Table(["Operation", "Amount", f"Minutes for\none, or a {sold}", "Minutes"], rows)


def hours_notes(plan: CuttingPlan) -> list[str]:
    """Return which minutes are guesses, and how she paced them."""
    amounts = plan.amounts
    guessed = any(amounts[name] and plan.timing.minutes[name] == minutes for name, minutes in GUESSED.items())
    return [*([job.GUESSES] if guessed else []), *([job.paced(plan.timing.pace)] if plan.timing.pace != 1 else [])]


def asked_price(making: Making, rates: Rates) -> Quote | None:
    """Return what to ask for the job, or None where there is no rate for an hour."""
    if not rates.hourly:
        return None
    plan = making.plan
    cloths = [(purchase.cloth.called, purchase.cost) for purchase in plan.purchases if not purchase.bought_with]
    cloths += [(trim_name(trim, plan.job.tape.unit), trim.cost) for trim in plan.trims]
    return quote(cloths, sum(plan.whole_minutes.values()), rates, elastic=making.settled.top.elastic > 0)


def price_sums(making: Making, rates: Rates) -> list[Sum]:
    """Return the sums of the quote, if there is one."""
    asked = asked_price(making, rates)
    return quote_sums(asked, rates) if asked else []


def quote_parts(asked: Quote, terms: Terms) -> list[str | Table]:
    """Return the quote as it is for her, with what the client does not see."""
    rates = terms.rates
    rows = [[job.material(name), "", money(cost)] for name, cost in asked.materials]
    rows += [
        ["Work", f"{job.duration(float(asked.hours * 60))} at {money(rates.hourly)}", money(asked.work)],
        ["Overhead", f"{float(rates.overhead):g} %", money(asked.overhead)],
        ["Margin", f"{float(rates.margin):g} %", money(asked.margin)],
        ["Rounded up", f"to {float(rates.rounding):g}", money(asked.rounded)],
        ["Price", "", money(asked.price)],
        ["Deposit", f"{float(rates.deposit):g} %", money(asked.deposit)],
        ["Balance", "", money(asked.balance)],
    ]
    left_out = [*asked.left_out, *([] if rates.thread else ["thread"])]
    head = [job.QUOTE_TITLE, "", f"Sum\n({terms.currency})" if terms.currency else "Sum"]
    return [Table(head, rows, words=2), *([job.no_price(left_out)] if left_out else [])]


def money(amount: Decimal) -> str:
    """Return a sum as it is printed: ``1,204.50``."""
    return f"{amount:,.2f}"


def write_run(millimetres: float, tape: Tape, digits: int = 0) -> str:
    """Return a long length roughly: ``61 yd``, ``56 m``."""
    return f"{millimetres / tape.priced_by:.{digits}f} {job.LONG_UNIT[tape.unit]}"


# --- in the drawing -------------------------------------------------------------------------------


def draw_job_sheet(panel: Sheet, sheet: JobSheet, views: Sequence[View], shorter: bool) -> tuple[Picture, Picture]:
    """Fill ``panel`` with the job sheet; return the picture of the flat, which may hide ``shorter`` layers, with its words and without."""
    layer = panel.add_layer("Text", "job sheet text layer")
    column = Column(panel, layer, 0.0, 0.0, _WORDS_WIDTH)
    column.title(job.TITLE, sheet.label)
    for warning in sheet.warnings:
        column.gap(1)
        column.paragraph(warning, bold=True)
    top, right = column.y, _WORDS_WIDTH
    for section in sheet.tables:
        right = max(right, draw_section(panel, layer, column, section))
    beside = Column(panel, layer, right + _GAP, top, _STEPS_WIDTH)
    pictures = draw_flat(panel, beside, views, shorter)
    for section in sheet.steps:
        draw_section(panel, layer, beside, section)
    return pictures


def draw_section(panel: Sheet, layer: inkex.Layer, column: Column, section: Section) -> float:
    """Draw one section at the end of a column; return how far right it reaches."""
    column.gap(3)
    column.paragraph(section.heading, 4.2, bold=True)
    column.gap(0.8)
    right = column.x
    for part in section.body:
        if isinstance(part, Table):
            end, column.y = draw_table(panel, layer, part, column.x, column.y)
            right = max(right, end)
            column.gap(1.5)
        elif isinstance(part, Steps):
            for number, row in enumerate(part.rows, start=1):
                column.paragraph(f"{number}. {row}")
        else:
            column.paragraph(part)
    return right
