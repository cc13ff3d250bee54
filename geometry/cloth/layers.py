"""The layers of a tier where they are not all alike: each shorter, less full, finished otherwise or of another colour than the one over it."""
from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

from geometry.cloth.making import TierStyle
from geometry.cloth.strips import SHORTEST, Hung, Tier
from geometry.refusal import Refused

#: The least fullness of a layer.
LEAST_FULLNESS = 1.0


def layers_of(tier: Tier, hung: Hung, style: TierStyle, widest: float) -> list[Tier]:
    """Return the layers of a tier, those that are cut alike as one, from the outermost inward.

    ``hung`` is its line, ``widest`` the usable width of the cloth that pattern pieces must fit; the tier has passed
    :func:`check_layers`.  Raises :class:`Refused` where a layer can't be made.
    """
    sizes = [_size(tier, style, k) for k in range(tier.layers)]
    if len(set(sizes)) == 1:
        return [tier]
    found, over = [], 0
    for (drop, fullness, _), alike in groupby(sizes):
        layers = len(list(alike))
        contrast = min(layers, max(0, tier.contrast_layers - over))
        group = tier._replace(layers=layers, contrast_layers=contrast) if over == 0 else hung.tier(
            tier.spacing, drop, fullness, layers, contrast, style.of_layer(over), widest
        )  # fmt: skip
        found.append(group._replace(first_layer=tier.layers - over - layers + 1, over=over, inner_layers=tier.inner_layers))
        over += layers
    return found


def _size(tier: Tier, style: TierStyle, under: int) -> tuple[float, float, str]:
    """Return drop, fullness and edge of the layer so far ``under`` the outermost: those that differ in none of these are cut alike."""
    drop = tier.drop - under * style.layer_step
    return (drop, tier.fullness, "") if tier.is_bought else (drop, tier.fullness * under_fullness(style, under), style.of_layer(under).edge)


def under_fullness(style: TierStyle, under: int) -> float:
    """Return the share of the outermost layer's fullness that the layer so far ``under`` it has."""
    return style.under_fullness[min(under, len(style.under_fullness)) - 1] if under and style.under_fullness else 1.0


def colour_of(style: TierStyle, under: int) -> str:
    """Return the colour of the layer so far ``under`` the outermost, or nothing where none is named."""
    return style.colours[min(under, len(style.colours) - 1)] if style.colours else ""


def as_seen(groups: Sequence[Tier]) -> Tier:
    """Return a tier as it is seen, from its layers: the outermost, as many as there are."""
    outermost = next(group for group in groups if not group.over)
    contrast = sum(group.contrast_layers for group in groups)
    return outermost._replace(layers=outermost.all_layers, contrast_layers=contrast, first_layer=1)


def check_layers(tiers: Sequence[Tier], style: TierStyle) -> None:
    """Raise :class:`Refused` where a layer of one of these tiers would be too short or too flat, or where layers that differ in
    fullness are to be gathered as one.
    """
    several = [tier for tier in tiers if tier.layers > 1]
    trim = style.of_layer(1).trim
    steps = [(tier, (tier.drop - (0.0 if tier.is_bought else trim) - SHORTEST) / (tier.layers - 1)) for tier in several]
    shortest, most = min(steps, key=lambda each: each[1], default=(None, math.inf))
    if shortest and most < style.layer_step:
        raise Refused("under-layer too short", tier=shortest.called, drop=shortest.drop, layers=shortest.layers, most=most)
    several = [tier for tier in several if not tier.is_bought]
    shares = [(tier, min(under_fullness(style, k) for k in range(1, tier.layers))) for tier in several]
    flattest, share = min(shares, key=lambda each: each[0].fullness * each[1], default=(None, 1.0))
    if flattest and share < 1 and flattest.fullness * share < LEAST_FULLNESS - 1e-9:
        least = max(math.ceil(100 * LEAST_FULLNESS / tier.fullness - 1e-9) for tier, _ in shares)
        raise Refused("under-layer too flat", tier=flattest.called, fullness=flattest.fullness * share, least=least)
    unlike = (tier for tier in several if any(under_fullness(style, k) != 1 for k in range(1, tier.layers)))
    if style.together and any(tier.made.pattern is None for tier in unlike):
        raise Refused("unlike layers as one")
