"""The quote, reckoned again by the standard library's decimal: to the cent, and sums of rounded rows."""
import math
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from geometry.cloth.price import Rates, quote

CENT = Decimal("0.01")
money = st.decimals(0, 500, places=2, allow_nan=False)
percent = st.decimals(0, 60, places=1, allow_nan=False)


def cents(amount):
    return amount.quantize(CENT, ROUND_HALF_UP)


@example(
    cloths=[], minutes=266, hourly=Decimal("18.75"), others=(Decimal(0),) * 4, overhead=Decimal(0), margin=Decimal(0), deposit=Decimal(50),
    rounding="0.01",
)  # fmt: skip
@given(
    cloths=st.lists(money, max_size=4), minutes=st.integers(1, 6000), hourly=money, others=st.tuples(money, money, money, money),
    overhead=percent, margin=percent, deposit=percent, rounding=st.sampled_from(["0.01", "0.05", "1", "5"]),
)  # fmt: skip
def test_every_row_is_rounded_and_the_sums_agree_to_the_cent(cloths, minutes, hourly, others, overhead, margin, deposit, rounding):
    asked = quote([("net", cost) for cost in cloths], float(minutes), Rates(hourly, *others, overhead, margin, deposit, Decimal(rounding)))
    exactly = Fraction(hourly) * minutes / 60  # a third of an hour is no decimal
    work = Decimal(math.floor(exactly * 100 + Fraction(1, 2))) / 100
    assert asked.work == work
    materials = sum([*cloths, *others], Decimal(0))
    assert asked.materials_in_all == materials
    on_top = cents((materials + work) * overhead / 100)
    gain = cents((materials + work + on_top) * margin / 100)
    assert (asked.overhead, asked.margin) == (on_top, gain)
    exact = materials + work + on_top + gain
    steps = (exact / Decimal(rounding)).to_integral_value(ROUND_CEILING)
    assert asked.price == steps * Decimal(rounding) and asked.rounded == asked.price - exact >= 0
    # What the client sees adds up, and so does what is paid when.
    assert sum((cost for _, cost in asked.materials), Decimal(0)) + asked.making == asked.price
    assert asked.deposit + asked.balance == asked.price and asked.deposit == cents(asked.price * deposit / 100)
    assert all(amount == cents(amount) for amount in (asked.work, asked.overhead, asked.margin, asked.price, asked.deposit, asked.balance))
