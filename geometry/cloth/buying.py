"""Cloth as it is bought: how wide it is when it is cut, and how much of it a lay makes her buy."""
from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from geometry.cloth.lay import StripLay
from geometry.cloth.nesting import OutlineLay
from geometry.cloth.tape import Tape
from geometry.measuring.money import to_cents
from geometry.measuring.sums import Sum, Term, plain


class Cloth(NamedTuple):
    """A cloth as bought: usable width, the share by which it shrinks in the wash before it is cut, the spare
    share to buy, and the price for a yard or metre (None where unknown).

    ``use`` is "across", "along", "cheaper" or one of :data:`BORDERS` for strips; "one_way" or "either_way" up for sleeves, or
    :data:`ON_BORDER`.
    Stripes across the cloth come again after every ``repeat``, 0 where there are none.  All pieces of tiers lie ``one_way``
    up where the cloth has a nap or a direction.  Sleeves may be cut ``with_tiers``, from the cloth of those, and
    a lining ``with_base``.
    A cloth that is bought in several colours is one of these for each ``colour``.
    """

    name: str
    width: float
    shrinkage: float
    spare: float
    price: Decimal | None
    use: str
    repeat: float = 0.0
    colour: str = ""
    one_way: bool = False
    with_tiers: bool = False
    with_base: bool = False

    @property
    def called(self) -> str:
        """The name, and the colour where it has one."""
        return f"{self.name}, {self.colour}" if self.colour else self.name


#: Strips run along a border, their free edges on it: at the left selvedge, or one at each.
BORDERS = ("border", "borders")

#: Sleeves lie with their hems on a border along the left selvedge.
ON_BORDER = "on_border"


#: What the cloth of the innermost layers is called.
INNER = "inner cloth"


class Cloths(NamedTuple):
    """Every cloth, in the order in which they are reported; base and lining are not planned where their width is 0.

    Of the layers of a tier the outermost may be cut from the ``contrast`` and the innermost from the ``inner`` cloth.
    """

    net: Cloth
    contrast: Cloth
    inner: Cloth
    base: Cloth
    lining: Cloth


class Corner(NamedTuple):
    """The corner of a cloth that ``sleeves`` take, what stays between them and strips counted: so ``wide`` and so ``long``."""

    sleeves: OutlineLay
    wide: float
    long: float
    area: float


class Purchase(NamedTuple):
    """What one cloth is cut into and how much to buy.

    ``lay`` is the plan; where it is one of strips, ``each_way`` holds the best plan for every direction.
    ``bound`` is the length that no plan goes below: area of the pieces over the usable width.  ``buy`` is the
    length to buy, ``cost`` its price.  ``among`` are sleeves that lie on the same cloth as strips; they have a purchase of
    their own that says from which cloth they are cut, ``bought_with`` that, for which nothing is bought; so has a lining that is
    cut from the base cloth.
    """

    cloth: Cloth
    lay: StripLay | OutlineLay
    each_way: tuple[StripLay, ...]
    bound: float
    buy: float
    cost: Decimal | None
    among: Corner | None = None
    bought_with: str = ""

    @property
    def ratio(self) -> float:
        """The plan's length for each unit of the bound."""
        return self.lay.length / self.bound

    @property
    def waste(self) -> float:
        """The share of the plan's cloth that ends in no piece."""
        return 1 - 1 / self.ratio


def usable_width(cloth: Cloth, tape: Tape) -> float:
    """Return the width that is left after shrinking, on a mark of the tape."""
    return tape.down(cloth.width * (1 - cloth.shrinkage))


def width_bought(needed: float, cloth: Cloth, tape: Tape) -> float:
    """Return the least width as bought, a mark of the tape, of which so much as is ``needed`` is left when the cloth has shrunk."""
    width = tape.up(tape.up(needed) / (1 - cloth.shrinkage))
    return width if usable_width(cloth._replace(width=width), tape) >= needed else width + tape.mark



def to_buy(length: float, cloth: Cloth, tape: Tape) -> float:
    """Return the length to buy for a plan of ``length``: unshrunk, with spare, up to what shops sell."""
    return tape.to_sell(length_needed(length, cloth).result)


def length_needed(length: float, cloth: Cloth) -> Sum:
    """Return how much of a cloth a plan of ``length`` takes, unshrunk and with spare; shops sell the next length above."""
    shrunk = (("÷", plain(1 - cloth.shrinkage, "left after shrinking")),) if cloth.shrinkage else ()
    return Sum(f"{cloth.called} to buy", Term(length, "plan"), (*shrunk, *with_spare(cloth.spare)), say="shop")


def with_spare(share: float) -> tuple[tuple[str, Term], ...]:
    """Return the step by which a spare share comes to a length, or none."""
    return (("×", plain(1 + share, "with spare")),) if share else ()


def price_of(called: str, price: Decimal, buy: float, tape: Tape) -> Sum:
    """Return what ``buy`` of a cloth or a trim costs at a ``price`` for the length by which it is priced, as reckoned on paper."""
    steps = ("×", Term(buy, "bought")), ("÷", Term(tape.priced_by, "priced by"))
    return Sum(f"price of {called}", plain(float(price), "price"), steps, say="not")


def cost_of(price: Decimal | None, buy: float, tape: Tape) -> Decimal | None:
    """Return that cost to the cent, or None where the price is not known."""
    return None if price is None else to_cents(price * tape.priced(buy))


def purchase(
    cloth: Cloth, lay: StripLay | OutlineLay, area: float, tape: Tape, each_way: tuple[StripLay, ...] = ()
) -> Purchase:
    """Return what to buy for a lay whose pieces cover this ``area``."""
    buy = to_buy(lay.length, cloth, tape)
    return Purchase(cloth, lay, each_way, area / lay.width, buy, cost_of(cloth.price, buy, tape))
