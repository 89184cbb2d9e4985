"""Kinds of values: every one goes to a file and back, and to a prompt and back; whole numbers among them."""

import json
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BadEntryError, BadValueError, BoltwrightError
from core.files.project_tables import toml_value
from core.lock.fields import MOST, count
from core.lock.lock import spec_of, specs
from core.lock.numbers import COUNT
from core.lock.spec import Spec
from core.units import parse_count
from tests.counts import tries
from tests.locks import values

HOLES: Spec = count(3, "holes", "How many holes.", least=1).metadata["spec"]
EVERY = [*specs().values(), HOLES]


@st.composite
def cases(draw: st.DrawFn) -> tuple[Spec, object]:
    spec = draw(st.sampled_from(EVERY))
    return spec, draw(values(spec))


@settings(max_examples=tries(40, 200))
@given(cases())
def test_every_kind_comes_back_from_a_file(case: tuple[Spec, object]) -> None:
    spec, value = case
    good = spec.check(value, "x")
    kept = spec.to_file(good)
    assert spec.from_file(tomllib.loads(f"x = {toml_value(kept)}")["x"], "x") == good
    assert spec.from_file(json.loads(json.dumps(kept)), "x") == good  # the history
    assert hash(good) is not None


@settings(max_examples=tries(40, 200))
@given(cases(), st.sampled_from(["mm", "in"]))
def test_every_kind_comes_back_from_a_prompt(case: tuple[Spec, object], units: str) -> None:
    spec, value = case
    written = spec.written(value, units)
    assert "\n" not in written
    if spec.kind.number:
        # in inches to the digits shown, 0.0001 in or 0.001 oz
        off = 1e-8 if units == "mm" else 0.00005 * 25.4
        assert spec.read(written, units) == pytest.approx(value, abs=off)
        for steps in (1, -10):
            assert spec.check(spec.nudged(value, units, steps), "x") is not None
    elif spec.kind.entering == "picked":
        assert spec.read(written, units) == value
        assert spec.nudged(spec.nudged(value, units, 1), units, -1) == value
    elif spec.kind.entering == "free":
        assert spec.written(spec.read(written, units), units) == written
    assert "\n" not in spec.shown(value, units)


@pytest.mark.parametrize(("text", "number"), [("3", 3), ("=2+1", 3), (" 12 ", 12), ("3.0", 3)])
def test_a_typed_count(text: str, number: int) -> None:
    read = HOLES.read(text, "in")
    assert read == number == parse_count(text)
    assert type(read) is int


@pytest.mark.parametrize("text", ["", "three", "3.5", "1/2", "3 mm", "nan", "1e3", "--"])
def test_what_is_no_count_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(BadEntryError, match="write it as 3"):
        HOLES.read(text, "mm")


@pytest.mark.parametrize("value", [0, -1, MOST + 1, 2.5, True, "3", None, float("nan"), 10**400])
def test_a_count_that_may_not_stand(value: object) -> None:
    with pytest.raises(BadValueError, match=r"it takes a whole number from 1 to 1000"):
        HOLES.check(value, "posts.a.holes")


def test_a_count_is_whole_wherever_it_is_shown_and_nudged() -> None:
    assert HOLES.kind is COUNT
    assert type(HOLES.check(3.0, "x")) is int
    assert (HOLES.shown(3, "in"), HOLES.written(3, "in"), HOLES.unit("in")) == ("3", "3", "")
    assert HOLES.nudged(3, "mm", 1) == 4
    assert HOLES.nudged(3, "mm", -10) == 1
    assert type(HOLES.nudged(3, "mm", 1)) is int
    assert HOLES.kind.grain("mm") == 0.0  # no search tries three and a half holes


@pytest.mark.parametrize(
    ("path", "typed", "units", "said"),
    [
        ("key.radius", "-5", "mm", "key radius = -5.0 mm is not allowed: it takes 0.01 to 2000 mm"),
        ("key.radius", "99999", "in", "key radius = 99999 in is not allowed: it takes 0.0003937 to 78.74 in"),
        (
            "shackle.across", "9999 left", "mm",
            "shackle end = 9999.0 mm left is not allowed: it takes up to 2000 mm left or right",
        ),
        (
            "shackle.across", "9999 left", "in",
            "shackle end = 9999 in left is not allowed: it takes up to 78.74 in left or right",
        ),
        ("tooth.pickup_angle", "400", "mm", "pick-up angle = 400.0° is not allowed: it takes 0 to 80 degrees"),
        ("unlocks", "up", "mm", "up is not allowed here: it takes one of right, left"),
    ],
)  # fmt: skip
def test_what_is_refused_at_a_prompt_is_told_as_it_is_typed(
    path: str, typed: str, units: str, said: str
) -> None:
    with pytest.raises(BoltwrightError) as refused:
        spec_of(path).entered(typed, units)
    assert str(refused.value) == said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0, 0; 10; 5, 5", "Corner 2, 10, is"),
        ("0; 1, 1", "Corner 1, 0, is"),
        ("1, 2;; 3, 4, 0, 9", "Corner 2, 3, 4, 0, 9, is"),
    ],
)
def test_a_corner_that_is_none_is_told_by_its_number_as_one_counts(typed: str, said: str) -> None:
    with pytest.raises(BoltwrightError, match=f"^{said} not allowed: write x, y or x, y, bend"):
        spec_of("plate.points").entered(typed, "mm")


def test_corners_are_shown_by_how_many_there_are() -> None:
    # what a change tells of a traced plate: `3 points` became `4 points`, or `none`
    points = spec_of("plate.points")
    for typed, said in (("0, 0; 9, 0; 9, 9", "3 points"), ("0, 0; 9, 0; 9, 9; 0, 9", "4 points")):
        assert points.shown(points.entered(typed, "mm"), "mm") == said
    assert points.shown((), "mm") == "none"
