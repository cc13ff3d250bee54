"""Money as it is typed, against the standard library's decimal."""
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.measuring.lengths import HalfTyped
from geometry.measuring.money import check_one_currency, read_money, read_price, to_cents, up_to
from geometry.refusal import Refused

sums = st.decimals(0, 99999, places=2, allow_nan=False)


@given(amount=sums, before=st.sampled_from(["", "$", "€ ", "CHF "]), after=st.sampled_from(["", " €", " USD", "$"]), mark=st.sampled_from(".,"))
def test_signs_of_a_currency_are_overlooked_and_cents_kept(amount, before, after, mark):
    assert read_money(f"{before}{amount:.2f}{after}".replace(".", mark)) == amount


@given(amount=st.decimals(1000, 9999999, places=2, allow_nan=False))
def test_thousands_are_parted_either_way(amount):
    english = f"{amount:,.2f}"
    assert read_money(english) == amount
    assert read_money(english.translate(str.maketrans(",.", ".,"))) == amount
    assert read_money(english.replace(",", " ")) == amount


@pytest.mark.parametrize(
    ("typed", "rule"),
    [("1,200", "a thousand or a decimal"), ("", "nothing written"), ("abc", "not a sum of money"), ("-3", "not a sum of money"),
     ("inf", "not a sum of money"), ("3/4", "not a sum of money"), ("1,20,300", "not a sum of money"), ("4 5 €6", "not a sum of money")],
)  # fmt: skip
def test_what_is_no_sum_is_refused(typed, rule):
    with pytest.raises(Refused, match=rule):
        read_money(typed)


def test_a_sum_that_is_still_typed():
    with pytest.raises(HalfTyped):
        read_money("4.")


def test_what_is_advised_works_when_typed_back():
    with pytest.raises(Refused) as refusal:
        read_money("$1,200")
    facts = refusal.value.problems[0].facts
    assert read_money(facts["thousand"]) == 1200 and read_money(facts["decimal"]) == Decimal("1.20")


@given(amount=st.decimals(0, 9999, places=4, allow_nan=False), step=st.sampled_from(["0.01", "0.05", "0.5", "1", "5", "10"]))
def test_rounding(amount, step):
    assert to_cents(amount) == amount.quantize(Decimal("0.01"), ROUND_HALF_UP)
    rounded = up_to(amount, Decimal(step))
    assert amount <= rounded < amount + Decimal(step) and rounded % Decimal(step) == 0


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("kr. 12,50", "12.50"), ("Fr. 4.50", "4.50"), ("S/. 3", "3"), ("12.30 zł.", "12.30"), ("4.–", "4"), ("1.200,– €", "1200"),
        ("CHF 1’200.50", "1200.50"),
    ],
)
def test_a_shortened_name_and_a_dash_for_no_cents(typed, amount):
    assert read_money(typed) == Decimal(amount)


@pytest.mark.parametrize("typed", ["4½", "Rs.450", "kr.50", "−3", "– 3", "12-15", "4 1/2", "4:50"])
def test_what_could_be_read_wrong_is_no_sum(typed):
    """A fraction that is one sign, a point that could shorten a name or part off cents, a minus however it is written."""
    with pytest.raises(Refused, match="not a sum of money"):
        read_money(typed)


@pytest.mark.parametrize(
    ("typed", "per"),
    [
        ("6.40 per yard", "yard"), ("$6.40/yd", "yard"), ("6.40 a yd.", "yard"), ("6.40 yd", "yard"), ("per yard 6.40", "yard"),
        ("6,40 €/m", "metre"),
        ("6.40 the metre", "metre"), ("$6.40 an hour", "hour"), ("6.40", ""), ("US$ 6.40", "metre"), ("A$ 6.40", "yard"), ("S/. 6.40", "metre"),
    ],
)  # fmt: skip
def test_a_price_may_say_what_it_is_for(typed, per):
    assert read_price(typed, per) == Decimal("6.40")


@pytest.mark.parametrize(
    ("typed", "per", "same"),
    [("6.40 per metre", "yard", "5.85"), ("$6.40/m", "yard", "5.85"), ("6.40 a yard", "metre", "7.00"), ("2 per foot", "yard", "6.00")],
)
def test_a_price_for_another_length_is_asked_about(typed, per, same):
    """A yard is 0.9144 m and three feet (international yard, 1959; from memory); what is advised works when typed back."""
    with pytest.raises(Refused, match="priced by another length") as refusal:
        read_price(typed, per)
    facts = refusal.value.problems[0].facts
    assert facts["same"] == same and read_price(facts["same"], per) == Decimal(same)
    assert read_price(facts["amount"], per) == read_money(typed)


@pytest.mark.parametrize(
    ("typed", "per"), [("6.40 per piece", "yard"), ("6.40 each", "metre"), ("30 per day", "hour"), ("4 per yard", ""), ("30/h", "yard")]
)
def test_a_price_for_something_else_is_asked_about(typed, per):
    with pytest.raises(Refused, match="priced by something else"):
        read_price(typed, per)


@pytest.mark.parametrize(
    "sums",
    [("$4", "US$ 3", "USD", "2"), ("€", "4,50 € a yard", "3 EUR", "euros"), ("Fr. 3", "CHF"), ("kr. 3", "NOK"), ("CHF, tax in it", "CHF 3")],
)
def test_one_currency_may_be_written_in_many_ways(sums):
    check_one_currency([("", each) for each in sums])


@pytest.mark.parametrize("sums", [("$", "€6.40"), ("£4", "2", "€6.40"), ("CHF", "$30"), ("USD", "CAD 3"), ("C$ 3", "US$ 4")])
def test_two_currencies_are_asked_about(sums):
    with pytest.raises(Refused, match="two currencies"):
        check_one_currency([("", each) for each in sums])
