"""What the truing report tells of lengths: read back with Fraction, it lies on a tape, subtracts, and sides with the verdict."""
import re
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as some

from extension.wording.notes import trued

#: Millimetres in what is read off a tape: a sixteenth of an inch (1959 agreement), a millimetre.
MARK = {"in": Fraction(127, 80), "cm": Fraction(1)}


def read(text: str) -> Fraction:
    return sum(map(Fraction, text.split()), Fraction(0))


@given(some.floats(80, 600), some.floats(-12, 12), some.sampled_from((0.0, 25.4 / 32, 1.0, 25.4 / 8, 10.0)), some.sampled_from(("in", "cm")))
def test_what_differs_is_what_is_told(back, more, allowed, unit):
    front = back + more
    good = abs(front - back) <= allowed + 1e-3
    _, measured, _ = trued("underarm seams", "underarm", (front, back, allowed), "good" if good else "wrong", unit)
    said = re.fullmatch(r"front (.+) (?:in|cm), back (.+) (?:in|cm): they differ by (just over |no more than |)([\d /]+) (?:in|mm) \(.*\)", measured)
    scale = Fraction(127, 5) if unit == "in" else Fraction(10)
    told = [read(said[k]) * scale for k in (1, 2)]
    apart = read(said[4]) * (scale if unit == "in" else 1)
    assert all(length / MARK[unit] % 1 == 0 for length in told)
    assert all(abs(float(length) - true) <= float(MARK[unit]) / 2 + 1e-6 for length, true in zip(told, (front, back)))
    if said[3]:
        assert (said[3] == "no more than ") == good
    else:
        assert apart == abs(told[0] - told[1]) and (float(apart) <= allowed + 1e-3) == good


def test_a_hem_corner_moved_by_a_quarter_inch():
    """16 25/32 in and 17 1/64 in, 268.5 and 272.2 sixteenths less a hair: told as her tape reads them."""
    _, measured, _ = trued("underarm seams", "underarm", (426.2, 432.15, 25.4 / 32), "wrong", "in")
    assert measured == "front 16 3/4 in, back 17 in: they differ by 1/4 in (1/32 in is allowed)"
