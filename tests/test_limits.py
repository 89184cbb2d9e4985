"""Limits: what mends a size that is past one does, set as the words say, on locks by chance, in mm and in inches."""

import re
from collections import Counter

import pytest

from core.errors import BadValueError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.remedies import any_of
from core.layout.size_limits import Way
from core.lock.lock import Lock, spec_of
from core.parts import catch, least_sizes, play
from core.units import parse_length
from tests.counts import tries
from tests.designs import plausible, seeded
from tests.loaded_locks import changed

LIMITS = (*catch.LIMITS, *least_sizes.LIMITS, *play.LIMITS)


def past(lock: Lock, way: Way, by: float) -> Lock | None:
    """Return the lock with one size `by` so much past what a limit allows; None where no lock can have that."""
    value = max(way.value + (by if way.end == "high" else -by), spec_of(way.path).low)
    try:
        return lock.with_value(way.path, value)
    except BadValueError:
        return None


def limit_codes(lock: Lock) -> dict[str, Finding]:
    layout = Layout(lock)
    return {
        f.code: f
        for part in (catch.PART, least_sizes.PART, play.PART)
        for f in part.findings(layout)
    }


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.first(1)
def test_what_mends_a_size_mends_it(units: str) -> None:
    named: Counter[str] = Counter()
    for seed in range(tries(4, 60)):
        rng = seeded(f"past {seed}")
        catch_of = rng.choice(("eye", "notch"))
        lock = changed(plausible(seed, roof="flat"), units=units, shackle__catch=catch_of)
        lock = changed(lock, fit__key_max=lock.key.radius + 1.27)
        for limit in LIMITS:
            for way in limit.ways(Layout(lock)):
                there = past(lock, way, rng.uniform(0.005, 0.6))
                found = None if there is None else limit_codes(there).get(limit.code.name)
                if there is None or found is None:
                    continue
                assert found.remedies, found.text
                assert any_of(found.remedies)[1:] in found.text
                for remedy in found.remedies:
                    ((_, value),) = remedy.changes
                    (told,) = re.findall(r"[\d/ .]+ (?:mm|in)\b", remedy.words)
                    assert parse_length(told.strip(), units) == pytest.approx(value, abs=1e-9)
                    assert limit.code.name not in limit_codes(remedy.applied(there)), remedy.words
                    named[limit.code.name] += 1
    assert set(named) == {limit.code.name for limit in LIMITS}
