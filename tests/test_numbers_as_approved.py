"""What the core says of fifteen locks drawn at random, number by number, as it was approved.

Three samples are much alike; these have what samples have not: scribed roofs, mirrored and inch locks, early pick-ups,
posts beside the bolt, plugs, notches, parts that are made and off their plan, locks that jam, foul or cannot be laid
out at all. That the numbers are right is shown elsewhere, against something outside; here they are held still, so that
none of them changes without somebody having looked. The locks are files of their own: what draws them may change.

To approve a change: `BOLTWRIGHT_APPROVE=1 python -m pytest tests/test_numbers_as_approved.py`, read what changed in
`tests/golden/numbers` (`git diff`), commit.
"""

import json
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

from core.change.clearing import clearable, clearings
from core.change.comparison import compare
from core.change.comparison_data import comparison_data
from core.change.comparison_text import comparison_text
from core.change.consequences import consequences
from core.change.openings import openings
from core.change.plugging import with_plugs
from core.checks import gathered
from core.files.project_file import load
from core.files.project_text import fresh_text
from core.filing.advice import advice
from core.filing.as_filed import MEASURES
from core.filing.plan import edges
from core.filing.strokes_left import readings_in
from core.layout.layout import Layout
from core.lock.lock import paths
from core.made.verdicts import verdicts
from core.made.wording import but_words, marks_words, verdict_words
from core.propose.map_data import map_data
from core.propose.map_text import map_text
from core.propose.room_map import beside_key, room_map, seen_whole
from core.report.bench_report import bench_report
from core.report.data import report
from core.sheets.moving_picture import moving_picture
from core.sheets.tables import tables
from core.spread.spread_data import spread_data
from core.spread.spread_text import spread_text
from core.spread.whole import spreading
from core.turning.film import film
from core.whole.as_built import as_built
from core.whole.dimensions import dimension
from tests.sheet_reading import job_for
from tests.test_drawn_as_approved import NUMBER, even, line, told

GOLDEN = Path(__file__).parent / "golden" / "numbers"
APPROVE = bool(os.environ.get("BOLTWRIGHT_APPROVE"))
DRAWN = sorted(GOLDEN.glob("*.toml"))
CLOSE = 2e-5
"""What a number may differ by, of itself or of 1: what is found by halving ends within a width of its own."""
LONG = 30
"""Places from which on a list is told by every fortieth only."""


def flat(value: Any, where: str = "") -> Iterable[str]:
    """Yield data line by line, each with its place; of a long list every fortieth place."""
    if isinstance(value, dict):
        for key, inside in value.items():
            yield from flat(inside, f"{where}.{key}")
    elif isinstance(value, list):
        for n, inside in list(enumerate(value))[:: 1 if len(value) < LONG else 40]:
            yield from flat(inside, f"{where}[{n}]")
    else:
        yield f"{where} {value:.6g}" if isinstance(value, float) else f"{where} {value}"


def as_data(told: Any) -> Iterable[str]:
    """Return what scripts are given, as JSON has it, line by line."""
    return flat(json.loads(json.dumps(told)))


def text(words: str) -> Iterable[str]:
    return (row.rstrip() for row in words.splitlines())


def of_windows(layout: Layout) -> Iterable[str]:
    """Yield every end of every window, not only those that are the tightest."""
    for check in gathered.all_checks():
        for bound in check.bounds(layout):
            yield f"{bound.path} {bound.end} {bound.value:.6g} {bound.by}: {bound.code.name}"


def of_openings(layout: Layout) -> Iterable[str]:
    """Yield what opens the first windows that hold nothing, and what clears the first stops."""
    shut = [path for path, window in gathered.windows(layout).items() if window.conflict]
    for path in shut[:2]:
        for one in (found for found in openings(layout, path) if found is not None):
            yield f"{path} by {one.path} {one.new:.6g} {one.second} {one.value:.6g}"
    stops = [f.code for f in gathered.findings(layout) if f.level == "stop"]
    for name in [stop for stop in stops if clearable(stop)][:2]:
        for way in (found for found in clearings(layout, name) if found is not None):
            yield f"{name} cleared by {told(way.changes)}"


def of_made(layout: Layout) -> Iterable[str]:
    lock = layout.plan
    for verdict in verdicts(layout):
        yield f"{verdict.part}: {verdict_words(layout, verdict)}"
        yield f"  {but_words(layout, verdict)} {marks_words(layout, verdict)}"
    before = fresh_text(lock).splitlines()
    yield from (row for row in text(fresh_text(with_plugs(lock))) if row not in before)
    yield told(gathered.outcome_values(as_built(layout)))
    for path, by in (("key.radius", 0.3), ("bolt.depth", -0.25), ("pivot.below", 0.4)):
        value = float(lock.value(path)) + by
        found = consequences(lock, path, value)
        yield f"{path} {value:.6g}: {found.wish.standing.counts}"
        if found.fact is not None:
            yield f"  came out so: {found.fact.standing.counts} {told(found.fact.held)}"
            for offer in found.fact_offers:
                yield f"    {offer.path} {told(offer.new)} {told(offer.second)} saves {offer.saved}"


def of_change(layout: Layout) -> Iterable[str]:
    lock = layout.plan
    other = lock.with_value("key.radius", float(lock.value("key.radius")) + 0.4)
    other = other.with_value("bolt_line.spring_room", 5.0).with_value("shackle.gap", 1.8)
    compared = compare(layout, Layout(other))
    yield from as_data(comparison_data(compared))
    yield from text(comparison_text(compared, ((), ())))


def of_map(layout: Layout) -> Iterable[str]:
    found = seen_whole(room_map(layout.plan, "pivot.below", "key.radius", 16, 10), layout.plan)
    yield from text(map_text(found))
    yield from as_data(map_data(found))
    yield from (told(side) for side in beside_key(layout.plan))


def of_spread(layout: Layout) -> Iterable[str]:
    *_, found = spreading(layout, 400, 1)
    yield from text(spread_text(layout, found))
    yield from as_data(spread_data(layout, found, 400, 1))


def of_filing(layout: Layout) -> Iterable[str]:
    for edge in edges(layout):
        yield told(edge)
    for measure in MEASURES:
        yield f"{measure.name} {measure.full(layout):.6g} {measure.finished(layout):.6g}"
    readings = {
        **readings_in(layout),
        **{
            m.name: m.finished(layout) + 0.1 * (1 if m.full(layout) > m.finished(layout) else -1)
            for m in MEASURES[:4]
        },
    }
    yield from (advice(layout, readings, name) for name in readings)


def of_drawings(layout: Layout) -> Iterable[str]:
    yield line(even(moving_picture(as_built(layout))))
    yield line(told(film(layout)))
    yield line(told([dimension(layout, path) for path in paths(layout.plan)]))
    yield line(told(tables(job_for(layout.plan))))


SECTIONS: dict[str, Callable[[Layout], Iterable[str]]] = {
    "report": lambda layout: text(bench_report(layout)),
    "data": lambda layout: as_data(report(layout)),
    "windows": of_windows,
    "openings": of_openings,
    "made": of_made,
    "change": of_change,
    "map": of_map,
    "spread": of_spread,
    "filing": of_filing,
    "drawings": of_drawings,
}

SOME = {
    "report": "birch hazel maple rowan sorrel",
    "openings": "cedar elder hazel pear maple rowan sorrel",
    "made": "birch fir gorse hazel rowan",
    "change": "birch gorse maple",
    "map": "alder cedar hazel pear",
    "spread": "alder fir hazel oak",
}
"""The locks of a section that is long, or takes long; the others are told of all."""
SLOW = {("openings", name) for name in ("maple", "rowan", "sorrel")}
CASES = [
    pytest.param(file, section, id=f"{file.stem}-{section}", marks=[pytest.mark.slow] * slow)
    for file in DRAWN
    for section in SECTIONS
    if file.stem in SOME.get(section, file.stem).split()
    for slow in [(section, file.stem) in SLOW]
]


def said(file: Path, section: str) -> list[str]:
    return list(SECTIONS[section](Layout(load(file).lock)))


def alike(now: str, then: str) -> bool:
    """Say whether two lines are the same but for the last digits of their numbers."""
    if now == then:
        return True
    same = NUMBER.sub("#", now) == NUMBER.sub("#", then)
    pairs = zip(NUMBER.findall(now), NUMBER.findall(then), strict=True) if same else ()
    return same and all(
        abs(float(a) - float(b)) <= CLOSE * max(1.0, abs(float(b))) for a, b in pairs
    )


@pytest.mark.parametrize(("file", "section"), CASES)
def test_numbers_are_as_approved(file: Path, section: str) -> None:
    golden = file.with_suffix("") / f"{section}.txt"
    now = said(file, section)
    if APPROVE:
        golden.parent.mkdir(exist_ok=True)
        golden.write_text("\n".join(now) + "\n", encoding="utf-8", newline="\n")
    then = golden.read_text("utf-8").removesuffix("\n").split("\n") if now else []
    assert len(now) == len(then)
    other = [f"{a!r} was {b!r}" for a, b in zip(now, then, strict=True) if not alike(a, b)]
    assert other == []
