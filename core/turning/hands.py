"""What hands turn a key with, from the shared table of published torques."""

from functools import cache

from core.tables.hand_torques import Hands, hands_in


@cache
def hands() -> Hands:
    """Return the limits: `easy` suits a key-operated switch, `weak` is what women reach on average."""
    return hands_in()
