"""Eight invented clients, as a dressmaker would type them (inches), and the sleeve that each of them wants."""
from __future__ import annotations

from typing import NamedTuple

from geometry.measuring.given import Given, read_given
from geometry.measuring.measurements import DEFAULTS, EXAMPLE, Style, read_style


class Client(NamedTuple):
    """A name and what is typed for her; nobody is measured here."""

    name: str
    typed: dict

    def given(self) -> Given:
        return read_given({**DEFAULTS, **EXAMPLE, **self.typed}, "in")

    def style(self) -> Style:
        return read_style({**DEFAULTS, **self.typed})

    def options(self) -> list:
        return [f"--{name}={text}" for name, text in self.typed.items()]


def _arm(upper: str, upper_level: str, elbow: str, elbow_level: str, length: str, hem: str, hand: str) -> dict:
    return {
        "upper_arm_girth": upper, "upper_arm_level": upper_level, "elbow_girth": elbow, "elbow_level": elbow_level,
        "sleeve_length": length, "hem_girth": hem, "hand_girth": hand,
    }  # fmt: skip


def _body(bust: str, off_shoulder: str, shoulder: str) -> dict:
    return {"bust_girth": bust, "off_shoulder_girth": off_shoulder, "shoulder_width": shoulder}


CLIENTS = (
    Client("Petite", {**_body("31", "35 1/4", "13 1/4"), **_arm("10 1/4", "6 1/4", "9 1/4", "10 3/4", "16 3/4", "7 3/4", "7 1/4")}),
    Client("Median", {}),
    Client("Tall and slim", {**_body("33", "38", "15"), **_arm("10 1/2", "8", "9 5/8", "14 1/4", "22 1/2", "8", "7 3/4")}),
    Client("Plus size", {**_body("52", "56", "16 1/2"), **_arm("19", "7 1/2", "15", "12 3/4", "18 1/2", "11 1/2", "8 3/4")}),
    Client("Full arm, small bust", {**_body("35", "42", "14 1/2"), **_arm("16", "7", "13", "12", "17 1/2", "10 1/2", "8 1/4")}),
    Client("Girl of six", {**_body("24", "27 1/2", "11 1/4"), **_arm("7 1/4", "4 3/4", "6 3/4", "8", "12 1/2", "5 3/4", "6")}),
    Client("Elbow length", {"length_style": "elbow", "hem_girth": "0"}),
    Client("Long and flared", {
        "shape": "flared", "flare_width": "22", "sleeve_length": "23", "hem_girth": "7 1/2", "wrist_girth": "6 1/2", "wrist_level": "22 1/2",
    }),
)  # fmt: skip
