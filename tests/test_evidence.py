"""The page of evidence in DEVELOPERS.md: every number of the report has its line, and what it tells is so."""

from functools import cache

import pytest

from core.files.project_file import load
from core.shipped import sample_locks
from tests.evidence.by_guides import astray, is_astray
from tests.evidence.cases import Case, locks, notched
from tests.evidence.page import (
    BY_CONTRACT,
    LOCKS,
    SEEN,
    Seen,
    as_pasted,
    checks,
    judge_of,
    measured,
    numbers_of,
    pasted,
    plain,
    rows,
    shown,
    whole,
)
from tests.stopped_locks import chosen


@cache
def some() -> tuple[Case, ...]:
    """Return the first of the page's locks, of each kind one, but for those that take long."""
    return tuple(Case(lock) for lock in (*locks(6), *notched(1), *chosen(2), *astray(1)))


def told() -> dict[str, tuple[str, str, int]]:
    """Return the lines of the numbers as pasted: check, largest deviation and cases, by key."""
    found = {}
    for line in pasted()[len(checks()) + 3 :]:
        key, check, largest, cases = (cell.strip() for cell in line.strip("|").split("|"))
        found[key.strip("`")] = check, largest, int(cases)
    return found


def assert_as_told(seen: dict[str, Seen], page: dict[str, tuple[str, str, int]]) -> None:
    for key, found in seen.items():
        _, largest, cases = page[key]
        number = float(largest.removeprefix("below ").split()[0])
        assert found.largest <= number, (key, found.largest, largest)
        assert found.cases <= cases, key


def test_every_number_of_the_report_has_a_line() -> None:
    samples = [Case(load(path).lock) for path in sample_locks()]
    lines, page = numbers_of([*some(), *samples]), told()
    # an outline is told as one: its lines' ends and its arcs
    lines = {
        "bolt.contour[].line" if key.startswith("bolt.contour[].line") else key for key in lines
    }
    assert not {key for key in lines if key not in page}
    for key in lines:
        judge = judge_of(key)
        assert judge is not None
        assert page[key][0] == judge.name
        assert page[key][2] > 0


def test_a_number_without_a_line_would_be_seen() -> None:
    case = Case(next(iter(locks(1))))
    case.said["tooth"]["new"] = 1.0
    assert "tooth.new" in numbers_of([case])
    assert judge_of("tooth.new") is None
    assert "tooth.new" not in told()
    assert BY_CONTRACT[0] not in numbers_of([case])


def test_the_checks_are_as_pasted() -> None:
    assert pasted()[: len(checks())] == checks()


@pytest.mark.slow
def test_deviations_of_some_locks_are_within_what_is_told() -> None:
    assert_as_told(
        measured(case for case in some() if is_astray(case.lock) or not case.lock.made), told()
    )


def test_a_deviation_beyond_what_is_told_would_be_seen() -> None:
    page = told()
    worse = {key: Seen(2.1 * float(page[key][1].split()[0]), 1) for key in ("tooth.shut_out",)}
    with pytest.raises(AssertionError):
        assert_as_told(worse, page)


def test_deviations_are_rounded_up() -> None:
    assert [shown(x) for x in (0.0, 0.9 * SEEN, 1.1e-4, 2e-4, 4.2e-4, 6e-4, 0.03)] == [
        "below 1e-09", "below 1e-09", "2e-04", "2e-04", "5e-04", "1e-03", "5e-02",
    ]  # fmt: skip
    assert plain("windows.posts.a.across.low") == "windows.posts.*.across.low"


@pytest.mark.slow
def test_page_is_as_measured() -> None:
    new = whole()
    found = as_pasted(new)
    assert len(found) == len(new)
    assert found[: len(checks())] == checks()
    for line, now in zip(found, new, strict=True):
        if not line.startswith("| `"):
            assert line == now
            continue
        # another processor's last digit may take a deviation over the edge of its rounding, and no farther
        ours, theirs = (row.strip("|").split("|") for row in (line, now))
        assert [ours[k] for k in (0, 1, 3)] == [theirs[k] for k in (0, 1, 3)]
        one, other = (
            float(row[2].strip().removeprefix("below ").split()[0]) for row in (ours, theirs)
        )
        assert max(one, other) <= 2.6 * min(one, other)
    assert rows({}) == new[len(checks()) + 1 : len(checks()) + 3]
    assert max(int(row.split("|")[4]) for row in new if row.startswith("| `")) > LOCKS * 0.4
