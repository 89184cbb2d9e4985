"""What hands turn a key with, from `shared/hand_torque.toml`."""

from dataclasses import dataclass

from core.tables.reading import Column, Tree, rows

TABLE = "hand_torque.toml"
COLUMNS = {
    "low": Column("N m", 0.01, 10),
    "high": Column("N m", 0.01, 10),
    "mean": Column("N m", 0.1, 10),
    "spread": Column("N m", 0.01, 5),
    "people": Column("people", 1, 100_000),
    "share_of_men": Column("", 0.2, 1),
    "turn": Column("degrees", 10, 120),
}


@dataclass(frozen=True)
class Hands:
    """Published limits: torques [N mm], and how far a wrist turns from its middle [degrees]."""

    easy: float
    easy_source: str
    weak: float
    weak_source: str
    turn: float
    turn_source: str


def hands_in(tree: Tree | None = None) -> Hands:
    """Return the limits of the shared table, in N m, or of `tree`.

    `easy` suits a key-operated switch, `weak` is what women reach on average.

    Raises
    ------
    BadTableError
        For a row without a source, with a number that cannot be right, or with its ends crossed.
    """
    (switch,), (men,), (women,), (wrist,) = (
        rows(TABLE, name, COLUMNS, tree) for name in ("switch", "men", "women", "wrist")
    )
    switch.in_order("low", "high")
    men.in_order("spread", "mean")
    return Hands(
        easy=1000 * switch.number("high"),
        easy_source=switch.source,
        weak=1000 * women.number("share_of_men") * men.number("mean"),
        weak_source=women.source,
        turn=wrist.number("turn"),
        turn_source=wrist.source,
    )
