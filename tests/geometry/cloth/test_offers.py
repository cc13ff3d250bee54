"""What a plan costs against the least that any could, by scipy's exact solver, over 150 small jobs drawn by lot."""
import itertools
import math
from random import Random

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from geometry.cloth.both_ways import lay_both_ways
from geometry.cloth.joins import Strip
from geometry.cloth.lay import WHOLE, lay_strips
from geometry.cloth.tape import CENTIMETRES

JOBS = 150

#: What a join takes up, and the cloth that it is worth, millimetres.
JOIN, WORTH = 12.0, 150.0


#: A join keeps 4 in from the middle, the outside of the arm (common practice, no source).
HAND = 101.6


def fewest_joins(lengths, band):
    """How many joins strips have at least that are parted into pieces no longer than a band; each takes up its own.

    A single join lets neither piece be longer than the band, so it lies as near the middle as this: where that is nearer than a
    hand, there are two.
    """
    least = [max(0, math.ceil((length - band) / (band - JOIN) - 1e-9)) for length in lengths]
    return sum(2 if joins == 1 and band - JOIN / 2 - length / 2 < HAND - 1 else joins for joins, length in zip(least, lengths))


def least_along(lengths, strip_width, cloth_width):
    """The least of all lengths of cloth with the joins that each enforces: bands side by side, which hold all strips between them."""
    bands = math.floor(cloth_width / strip_width)
    costs = []
    for length in range(50, math.ceil(max(lengths)) + 2):
        joins = fewest_joins(lengths, length)
        if bands * length >= sum(lengths) + joins * JOIN:
            costs.append(length - 1 + WORTH * joins)  # whatever lies within the millimetre
    return min(costs)


def least_across(lengths, strip_width, cloth_width):
    """The dual bound of: x[i, b] of strip i from band b, y[i, b] whether any is, u[b] whether the band is cut at all."""
    joins = fewest_joins(lengths, cloth_width)
    strips, few = len(lengths), math.ceil((sum(lengths) + joins * JOIN) / cloth_width - 1e-9)
    bands = strips + joins
    size = strips * bands
    cost = np.concatenate([np.zeros(size), np.full(size, WORTH), np.full(bands, strip_width)])
    rows, low, high = [], [], []

    def add(least, greatest, **parts):
        row = np.zeros(len(cost))
        for places, value in parts.values():
            row[places] = value
        rows.append(row)
        low.append(least)
        high.append(greatest)

    for i in range(strips):
        mine = np.arange(i * bands, (i + 1) * bands)
        add(lengths[i] - JOIN, np.inf, x=(mine, 1), y=(size + mine, -JOIN))
        add(1 + fewest_joins(lengths[i : i + 1], cloth_width), np.inf, y=(size + mine, 1))
        for place in mine:
            add(-np.inf, 0, x=(place, 1), y=(size + place, -min(cloth_width, lengths[i] + JOIN)))
    for b in range(bands):
        add(-np.inf, 0, x=(np.arange(b, size, bands), 1), u=(2 * size + b, -cloth_width))
        if b:
            add(0, np.inf, u=(2 * size + b - 1, 1), v=(2 * size + b, -1))  # one band after the other
    add(few, np.inf, u=(2 * size + np.arange(bands), 1))
    integral = np.concatenate([np.zeros(size), np.ones(size + bands)])
    upper = np.concatenate([np.full(size, cloth_width), np.ones(size + bands)])
    solved = milp(
        cost, integrality=integral, bounds=Bounds(0, upper), constraints=LinearConstraint(np.array(rows), low, high), options={"time_limit": 1.0}
    )
    return solved.mip_dual_bound - strips * WORTH


def least_both_ways(lengths, strip_width, cloth_width):
    """One tier along, the other across below it: what either takes at least, its two strips being cut alike."""
    return [
        least_along([along] * 2, strip_width, cloth_width) + least_across([across] * 2, strip_width, cloth_width)
        for along, across in itertools.permutations(lengths, 2)
    ]


def test_cost_against_the_least_over_jobs_drawn_by_lot():
    lot, ratios = Random(13), []
    for _ in range(JOBS):
        width = float(lot.randrange(900, 1500, 10))
        lengths = [float(lot.randrange(300, 2600)) for _ in range(lot.choice((1, 2)))]
        strips = [Strip(tier, sleeve, 1, 100.0, length) for tier, length in enumerate(lengths, start=1) for sleeve in (1, 2)]
        plans = lay_strips(strips, width, JOIN, CENTIMETRES)
        plans += lay_both_ways(strips, width, JOIN, CENTIMETRES, plans)
        cost = min(plan.length + WORTH * plan.all_joins for plan in plans if plan.way == WHOLE)
        wanted = [strip.length for strip in strips]
        least = min(least_across(wanted, 100.0, width), least_along(wanted, 100.0, width), *least_both_ways(lengths, 100.0, width))
        assert cost >= least - 1e-6
        ratios.append(cost / least)
    median, ninety, most = np.quantile(ratios, (0.5, 0.9, 1.0))
    assert median <= 1.01 and ninety <= 1.08 and most <= 1.25, (median, ninety, most)
