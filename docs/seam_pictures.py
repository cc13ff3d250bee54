"""Drawings of the underarm seam and the hem for docs/fit.md: a sleeve for each of eight invented clients."""
from __future__ import annotations

from docs.fit_pictures import side_by_side
from extension.demo import drafted
from tests.clients import CLIENTS


def eight_clients() -> str:
    """The sleeves of eight invented clients, at one scale."""
    return side_by_side([drafted(client.options()) for client in CLIENTS], [client.name for client in CLIENTS], a_row=4, below=660.0)
