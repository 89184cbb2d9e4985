"""The mark where the key lets go: at the angle that the design page's iteration finds, told by name in every view."""

import math

import numpy as np
import pytest

from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from core.parts.release_mark import PART, RELEASE, WORDS
from core.sheets.faces import face_sheets
from core.turning.follow import moment
from core.turning.stage import still
from tests.designs import numbers, plausible
from tests.loaded_locks import changed
from tui.turn import scene
from tui.turn.state import Turn


@pytest.mark.parametrize("seed", range(8))
def test_marks_cross_the_circle_where_the_corner_lets_go(seed: int) -> None:
    lock = plausible(seed)
    r, half = lock.key.radius, math.asin(lock.key.bit_thickness / 2 / lock.key.radius)
    phi = numbers(lock).release + half
    lines = [mark for mark in PART.marks(Layout(lock)) if isinstance(mark, Stroke)]
    found = np.array([[line.path.start, line.path.segments[-1].end] for line in lines]).mean(axis=1)
    wanted = [(way * r * math.sin(phi), r * math.cos(phi)) for way in (-1, 1)]
    assert np.sort(found, axis=0) == pytest.approx(np.sort(wanted, axis=0), abs=1e-6)
    labels = [mark for mark in PART.marks(Layout(lock)) if isinstance(mark, Label)]
    assert [label.text for label in labels] == [WORDS, WORDS]


@pytest.mark.parametrize("unlocks", ["right", "left"])
def test_turn_view_names_the_release_of_its_stroke(unlocks: str) -> None:
    lock = changed(Lock(), unlocks=unlocks, shackle__across=-26.5 if unlocks == "right" else 26.5)
    layout = Layout(lock)
    for stroke in STROKES:
        turn = Turn(layout, "clean", stroke).jumped("release")
        (spot,) = [
            s for s in scene.spots(turn, moment(layout, turn.angle, stroke)) if s.words == WORDS
        ]
        # the key stands there: clockwise in the drive frame, which a lock of the other hand mirrors
        hand = 1 if unlocks == "right" else -1
        assert math.copysign(1, spot.at[0]) == hand * math.copysign(1, turn.angle)
    assert len([stroke for stroke in still(layout) if stroke.part == RELEASE]) == 2


def test_nothing_is_marked_where_the_key_drives_nothing_and_nothing_on_the_sheets() -> None:
    assert not list(PART.marks(Layout(changed(Lock(), key__radius=6.0))))
    for face in face_sheets(Layout(Lock())):
        assert not [mark for mark in face.marks if getattr(mark, "part", "") == RELEASE]
