"""What is proposed comes from stock: every size of it is a row of the shipped tables, read here by tomllib alone."""

import tomllib
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.layout.proposal import Proposal
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.lock.row_changes import with_row
from core.lock.rows.posts import Post
from core.propose.from_stock import from_stock, in_stock, stock_words
from core.propose.given import AT_HAND, FITTED, Given
from core.propose.limits import limits, nearest
from core.propose.locks import Locks
from core.propose.proposals import TOLD, Proposals, Proposed, Refusal, proposals
from core.shipped import shared_table
from tests.designs import seeded
from tests.locks import changed
from tests.propose_grid import random_plate

INCH = 25.4
POST = "posts.a.diameter"


def table(name: str) -> dict[str, Any]:
    return tomllib.loads(shared_table(name).read_text("utf-8"))


@cache
def rows(units: str) -> dict[str, list[float]]:
    """Return the sizes [mm] that there are in a maker's units, for each path; plates of steel, the bolt of brass."""
    scale = INCH if units == "in" else 1.0
    kept = [each for each in table("stock.toml")["series"] if each["unit"] == units]
    sold = {each["stock"]: [size * scale for size in each["sizes"]] for each in kept}
    drill = table("drills.toml")
    lines = {each["kind"]: each for each in drill["series"]}
    if units == "mm":
        steel = brass = sold["sheet and plate"]
        holes = [lines["metric"]["first"] + n * lines["metric"]["step"] for n in range(126)]
    else:
        steel, brass = (
            [
                *sold["plate"],
                *(size * inch for size in gauge["sizes"].values() if size * inch < INCH / 8),
            ]
            for name, inch in (("US Manufacturers' Standard", INCH), ("AWG (B&S)", 1.0))
            for gauge in table("gauges.toml")["gauge"]
            if gauge["name"] == name
        )
        holes = [INCH * n / 64 for n in range(1, 33)]
        holes += [
            INCH * each["inch"] for kind in ("number", "letter") for each in drill[kind]["sizes"]
        ]
    bar = sold["round bar"]
    return {
        "plate.thickness": steel, "bolt.thickness": brass, "shackle.diameter": bar, "key.shank": bar,
        "pivot.hole": holes, POST: holes,
    }  # fmt: skip


def is_row(path: str, value: float, units: str) -> bool:
    return min(abs(value - size) for size in rows(units)[path]) < 1e-6


def odd(seed: int, units: str, *, far: bool = False) -> Lock:
    """Return a plate by chance with sizes that no merchant has, now and then such as no stock is near."""
    rng = seeded(f"stock {seed}")
    lock = changed(random_plate(seed), {"units": units, "notes": ""})
    lock = changed(
        lock, {
            "friction.metals": "brass on steel", "plate.thickness": rng.uniform(1.4, 3.2),
            "bolt.thickness": rng.uniform(2.2, 4.3), "key.shank": rng.uniform(4.6, 6.8),
            "shackle.diameter": rng.uniform(5.2, 9.3),
        },
    )  # fmt: skip
    lock = lock.with_value("pivot.hole", lock.key.shank + rng.uniform(0, 0.15))
    if far:
        lock = lock.with_value("bolt.thickness", 15.0)
    return lock


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_nobody_fixed_comes_from_stock(units: str) -> None:
    for seed in range(4):
        lock = with_row(odd(seed, units), "posts", "a", Post(1.0, -9.0, 4.13))
        free = from_stock(lock, ())
        assert free == (*AT_HAND, *FITTED, POST)
        bought, drilled, own = in_stock(lock, ())
        assert own == lock
        assert all(is_row(path, float(bought.value(path)), units) for path in free)
        assert bought.pivot.hole >= bought.key.shank - 1e-9
        assert bought.value(POST) <= 4.13
        assert [drilled.value(path) for path in AT_HAND] == [lock.value(path) for path in AT_HAND]
        # no row is nearer, but where the shank or the room of a post forbids it
        for path in (*AT_HAND, "key.shank"):
            off = abs(float(bought.value(path)) - float(lock.value(path)))
            least = min(abs(size - float(lock.value(path))) for size in rows(units)[path])
            assert off <= least + 1e-6
        kept = next(in_stock(lock, ("bolt.thickness", "pivot.hole", POST)))
        assert kept.bolt.thickness == lock.bolt.thickness
        assert (kept.pivot.hole, kept.value(POST)) == (lock.pivot.hole, 4.13)


def test_where_stock_gives_no_lock_less_of_it_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    lock = odd(1, "mm")
    tried: list[Lock] = []
    short = Refusal("bridge-thin", "the least bridge", 0.4, lock)
    good = Proposed((), Proposal("", (), ()), lock, 1.0, "the least bridge", 0.0, None, ())

    def of_given(_: Layout, given: Given) -> Iterator[Proposals | None]:
        tried.append(given.lock)
        yield None
        yield Proposals((good,)) if len(tried) == works else Proposals((), short)

    monkeypatch.setattr("core.propose.proposals._of_given", of_given)
    every = list(in_stock(lock, ()))
    for works, count in ((1, 1), (2, 2), (3, 3), (4, 3)):
        tried.clear()
        found = proposals(lock)
        assert tried == every[:count]
        assert (found.refusal is None) is (works <= 3)


def test_stock_is_told_and_so_is_what_is_none() -> None:
    lock = odd(1, "mm", far=True)
    told = stock_words(next(in_stock(lock, ())), from_stock(lock, ()))
    assert "Not from stock: bolt 15.0 mm; there is none near it." in told
    inch = next(in_stock(first_lock("in"), ()))
    told = stock_words(inch, from_stock(inch, ()))
    assert told == (
        "From stock: plates 0.0747 in sheet (14 gauge), bolt 1/8 in sheet, shackle's end 5/16 in bar, "
        "shank 1/4 in bar and pivot hole drill 1/4 in."
    )


def of_stock(seed: int, units: str) -> tuple[int, int]:
    """Propose on a plate by chance and hold what comes against the tables; return how many, and how many own up."""
    lock = odd(seed, units)
    found = proposals(lock)
    for one in found.found:
        assert one.bought == (*AT_HAND, *FITTED)
        assert not [f for f in findings(Layout(one.lock)) if f.level == "stop"]
        room, by = nearest(limits(Locks(one.lock, {})))
        assert one.margin == pytest.approx(float(room[0]), abs=1e-9)
        assert one.by == limits(Locks(one.lock, {}))[int(by[0])].by
        told = " ".join(one.proposal.reasons)
        show = Layout(one.lock).show
        assert f"Nearest limit: {one.by}, with {show(one.margin)} to spare." in told
        unsold = [
            path for path in one.bought if not is_row(path, float(one.lock.value(path)), units)
        ]
        assert ("Not from stock" in told) == bool(unsold)
        # what the sizes that stood there would leave is told where it is more
        before = changed(one.lock, {path: lock.value(path) for path in one.bought})
        left = float(nearest(limits(Locks(before, {})))[0][0])
        assert (show(left) in one.proposal.reasons[1]) or left <= one.margin + TOLD
    own = sum("Not from stock" in " ".join(one.proposal.reasons) for one in found.found)
    return len(found.found), own


@pytest.mark.slow
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_size_that_is_proposed_is_a_row_of_a_table(units: str) -> None:
    counts = [of_stock(seed, units) for seed in range(10)]
    assert sum(count for count, _ in counts) > 15
    # where the nearest stock lets no lock be, that is said; it is seldom
    assert sum(own for _, own in counts) <= 3


@pytest.mark.slow
def test_stock_that_gives_no_lock_is_not_forced() -> None:
    lost = [
        seed for seed in range(10)
        if not proposals(odd(seed, "mm")).found and proposals(odd(seed, "mm"), (*AT_HAND, *FITTED)).found
    ]  # fmt: skip
    assert lost == []
