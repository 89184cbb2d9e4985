"""What a search for proposals tries: sizes from ample to tight, noses, starts; and how its sizes are told."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from core.layout.layout import Layout
from core.layout.proposal import Proposal
from core.lock.lock import Lock
from core.propose.given import IN_EYE, IN_NOTCH, SETTLED, SIZES, Given
from core.propose.proposals import (
    CLOSE,
    SOUND,
    Proposed,
    proposals,
)
from core.propose.proposals_text import named, size_lines
from core.propose.search import refined
from tests.locks import changed

DEMO = Lock()


def test_sizes_are_tried_from_ample_to_tight_in_halves_of_a_mm() -> None:
    for name in SIZES[0]:
        tried = [size[name] for size in SIZES]
        assert tried == sorted(tried, reverse=True)
        assert all(2 * value == round(2 * value) for value in tried), name


def test_in_inches_the_sizes_that_are_tried_are_the_whole_32nds_nearest_to_them() -> None:
    # by exact fractions: of all 32nds of an inch from one on the nearest, 1/32 for a gap of 1 mm
    tried = Given(replace(DEMO, units="in")).sizes
    grain = Fraction(254, 320)
    for path, name in {
        "shackle.gap": "gap",
        "front_guide.floor": "floor",
        "bolt.nose_height": "leg",
    }.items():
        wanted = {
            min((n * grain for n in range(1, 99)), key=lambda one: abs(one - Fraction(mm)))
            for mm in {size[name] for size in SIZES}
        }
        assert sorted(set(tried[path])) == pytest.approx(sorted(map(float, wanted)), abs=1e-9)


@pytest.mark.parametrize("catch", ["eye", "notch"])
def test_a_nose_that_is_tried_is_the_longest_whole_number_of_halves_or_tenths(catch: str) -> None:
    """By exact fractions: a share of the shackle that is just so many steps loses none of them to a last digit."""
    for tenths in range(20, 160):
        lock = changed(DEMO, {"shackle.catch": catch, "shackle.diameter": tenths / 10})
        wide = Fraction(tenths, 10)
        shares = IN_EYE if catch == "eye" else IN_NOTCH
        reaches = [wide + 1] * (catch == "eye") + [Fraction(str(share)) * wide for share in shares]
        wanted = {
            reach // step * step
            for reach in reaches
            for step in [Fraction(1, 2) if reach > 1 else Fraction(1, 10)]
        }
        tried = Given(lock).sizes["shackle.engagement"]
        assert sorted(set(tried)) == pytest.approx(sorted(map(float, wanted)), abs=1e-9)


def test_the_first_sizes_that_are_tried_are_the_ample_ones() -> None:
    # common practice, no source: legs of 6, lobes of two thicknesses of the bolt, guides 4 wide on a floor of 2
    first = {path: float(values[0]) for path, values in Given(DEMO).sizes.items()}
    assert DEMO.bolt.thickness == 3.0
    assert first == {
        "bolt.nose_height": 6.0, "bolt.tail_height": 6.0, "bolt.lobe_width": 6.0, "front_guide.width": 4.0,
        "rear_guide.width": 4.0, "front_guide.floor": 2.0, "rear_guide.floor": 2.0, "shackle.gap": 1.5,
        "bolt_line.spring_room": 8.0, "shackle.engagement": first["shackle.engagement"],
    }  # fmt: skip


def test_a_proposal_as_text_tells_every_size_of_it_two_to_a_line() -> None:
    values = tuple((path, DEMO.value(path)) for path in SETTLED)
    proposal = Proposal("", values, ())
    one = Proposed((), proposal, DEMO, 1.0, "the key at the wall", 0.0, None, ())
    lines = list(size_lines(Layout(DEMO), one))
    assert len(lines) == math.ceil(len(values) / 2)
    told = [cell for line in lines for cell in re.split(r"(?<= mm) {4}", line.strip())]
    assert len(told) == len(values)
    for cell, (path, value) in zip(told, values, strict=True):
        assert cell.startswith(named(path))
        assert cell.endswith(f" {value} mm")


def test_no_start_asks_for_more_room_than_was_found_and_one_for_nearly_all_of_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # most is kept, so that the search is short
    best: list[Any] = []
    asked: list[float] = []

    def found(*given: Any) -> Any:
        best.append(refined(*given))
        return best[-1]

    def none_agreed_to(_: object, __: object, starts: Any) -> Iterator[None]:
        asked.extend(least for _, _, least, _ in starts)
        yield None

    monkeypatch.setattr("core.propose.proposals.refined", found)
    monkeypatch.setattr("core.propose.proposals._confirmed", none_agreed_to)
    monkeypatch.setattr("core.propose.proposals._others", lambda *_: [])
    guides = {"front_guide.from_centreline", "rear_guide.from_centreline"}
    free = {"bolt.depth", "shackle.drop", "key.radius", "pivot.below", "bolt_line.height", *guides}
    proposals(DEMO, set(SETTLED) - free)
    most = float(best[0][1].max())
    assert 0.5 < most < 1.0
    assert max(asked) == pytest.approx(CLOSE * most)
    assert min(asked) == pytest.approx(SOUND)


@pytest.mark.parametrize(
    ("best", "wanted"),
    [
        # by hand: the ample sizes keep half a mm where they can, the longest engagement nearly all that it had, as do
        # the widest; and 0.985 is nearly all
        ((0.4, 0.6, 0.9), (0.394, 0.591, 0.8865, 0.8865)), ((0.9, 0.6, 1.2), (0.5, 0.591, 1.182, 1.182)),
        ((1.2, 0.6, 0.9), (0.5, 0.591, 1.182)),
        # where all three are one
        ((0.9,), (0.8865, 0.8865)),
    ],
)  # fmt: skip
def test_the_ample_sizes_keep_half_a_mm_and_the_others_nearly_all_that_they_had(
    monkeypatch: pytest.MonkeyPatch, best: tuple[float, ...], wanted: tuple[float, ...]
) -> None:
    asked: list[float] = []

    def none_agreed_to(_: object, __: object, starts: Any) -> Iterator[None]:
        asked.extend(least for _, _, least, _ in starts)
        yield None

    for name, what in {
        "_firsts": lambda _: list(range(len(best))), "refined": lambda _, __, at, *___: (at, np.array(best)),
        "_confirmed": none_agreed_to, "_others": lambda *_: [],
    }.items():  # fmt: skip
        monkeypatch.setattr(f"core.propose.proposals.{name}", what)
    guides = {"front_guide.from_centreline", "rear_guide.from_centreline"}
    free = {"bolt.depth", "shackle.drop", "key.radius", "pivot.below", "bolt_line.height", *guides}
    proposals(DEMO, set(SETTLED) - free)
    # the last two are those of most room and of least torque
    assert asked[:-2] == pytest.approx(wanted)
