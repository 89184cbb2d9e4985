"""What hands turn a key with, from the shared table of published torques."""

import tomllib
from dataclasses import dataclass
from functools import cache

from core.shipped import shared_table


@dataclass(frozen=True)
class Hands:
    """Published limits: torques [N mm], and how far a wrist turns from its middle [degrees]."""

    easy: float
    easy_source: str
    weak: float
    weak_source: str
    turn: float
    turn_source: str


@cache
def hands() -> Hands:
    """Return the limits: `easy` suits a key-operated switch, `weak` is what women reach on average.

    The table is in N m.
    """
    table = tomllib.loads(shared_table("hand_torque.toml").read_text("utf-8"))
    switch, men, women, wrist = (table[name] for name in ("switch", "men", "women", "wrist"))
    return Hands(
        easy=1000 * switch["high"],
        easy_source=switch["source"],
        weak=1000 * women["share_of_men"] * men["mean"],
        weak_source=women["source"],
        turn=wrist["turn"],
        turn_source=wrist["source"],
    )
