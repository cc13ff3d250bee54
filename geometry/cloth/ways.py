"""The ways to make a tier, by the name under which she chooses one."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Callable

from geometry.cloth.flounce import circular_flounce
from geometry.cloth.gathers import gather
from geometry.cloth.making import Made, ToMake
from geometry.cloth.pleats import box_pleats, knife_pleats

#: Each is asked for one tier and returns how it is made, or raises :class:`~geometry.refusal.Refused`.
WAYS: Mapping[str, Callable[[ToMake], Made]] = {
    "gathered": gather,
    "knife": knife_pleats,
    "box": box_pleats,
    "flounce": circular_flounce,
}
