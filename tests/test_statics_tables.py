"""The tables that the statics rest on, and what the report says of the turn."""

import json

import pytest

from core.layout.layout import Layout
from core.lock.friction import CONDITIONS, METALS
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts.friction import friction_ranges, friction_table
from core.parts.tooth import tooth
from core.report.data import report
from core.turning.hands import hands
from tests.designs import plausible
from tests.loaded_locks import early


def test_published_friction_lies_in_the_ranges() -> None:
    # static / sliding: mild steel dry .74 / .57, hard steel dry .78 / .42, brass on steel dry .51 / .44
    # (handbook tables, as in the LBL engineering table of friction)
    for metals, values in (
        ("steel on steel", (0.74, 0.57, 0.78, 0.42)),
        ("brass on steel", (0.51, 0.44)),
    ):
        dry = friction_table()[metals, "dry"]
        assert (dry.low, dry.high) == (min(values), max(values))
    # steel lubricated .10; brass on steel greased .19; bronze on steel greased .16
    for metals, value in (
        ("steel on steel", 0.10),
        ("brass on steel", 0.19),
        ("bronze on steel", 0.16),
    ):
        greased = friction_table()[metals, "greased"]
        assert greased.low <= value <= greased.high
    # sources spread from .15 to .78 for dry steel: what is not greased covers that
    steel = [friction_table()["steel on steel", name] for name in ("clean", "dry")]
    assert (min(r.low for r in steel), max(r.high for r in steel)) == (0.15, 0.78)


def test_every_range_has_a_source_and_rises_from_greased_to_dry() -> None:
    for metals in METALS:
        ranges = friction_ranges(Layout(Lock().with_value("friction.metals", metals)))
        assert list(ranges) == list(CONDITIONS)
        lows, highs = [r.low for r in ranges.values()], [r.high for r in ranges.values()]
        assert lows == sorted(lows)
        assert highs == sorted(highs)
        assert all(0 < r.low < r.high and r.source for r in ranges.values())


def test_published_hand_torques() -> None:
    # MIL-STD-1472E fig. 5: key-operated switch up to 0.680 N m
    assert hands().easy == pytest.approx(680)
    # Shih & Wang 1996, key handle: men 2.01 N m, women about 62 % of that
    assert hands().weak == pytest.approx(0.62 * 2010)


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_report_is_whole_and_plain_json(seed: int) -> None:
    layout = Layout(plausible(seed))
    made = json.loads(json.dumps(report(layout), allow_nan=False))
    motion, statics = made["motion"], made["statics"]
    assert motion["angles"] == [float(a) for a in range(-180, 181)]
    for stroke in STROKES:
        run = motion[stroke]
        assert set(run) == {
            "travel",
            "phase",
            "torque",
            "flank_force",
            "front_reaction",
            "rear_reaction",
        }
        arrays = [run["travel"], run["phase"]]
        arrays += [run["torque"][name][end] for name in CONDITIONS for end in ("low", "high")]
        arrays += [
            run[name][end]
            for name in ("flank_force", "front_reaction", "rear_reaction")
            for end in ("low", "high")
        ]
        assert {len(array) for array in arrays} == {361}
    assert motion["unlocking"]["travel"][-1] == pytest.approx(tooth(layout).throw)
    assert motion["locking"]["travel"][0] == 0
    own = statics["condition"]
    assert statics["peak_torque"] == statics["conditions"][own]["peak_torque"]["high"]
    assert statics["peak_torque"] >= max(motion["unlocking"]["torque"][own]["high"]) - 1e-9
    assert statics["jamming_margin"] == pytest.approx(statics["jam_friction"] / statics["friction"])


def test_report_writes_a_jam_as_null() -> None:
    layout = Layout(early(30.0, friction__condition="dry"))
    made = json.loads(json.dumps(report(layout), allow_nan=False))
    assert None in made["motion"]["unlocking"]["torque"]["dry"]["high"]
    assert made["statics"]["jams"] is True
    assert made["statics"]["peak_torque"] is None
    assert made["statics"]["jamming_margin"] < 1
