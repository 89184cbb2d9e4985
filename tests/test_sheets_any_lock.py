"""Sheets of any lock that may be typed, workable or not; and a piece that is added by adding a module."""

import importlib
import sys
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.sheets import gathering, pieces
from core.sheets.book import book
from core.sheets.compose import composed
from core.sheets.drill_table import drill_schedule
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job, text_block
from core.sheets.markdown import markdown
from core.sheets.svg import svg_text
from core.sheets.tables import tables
from core.sheets.write import sheet_titles
from tests.counts import tries
from tests.locks import changed, changes, locks
from tests.page_reading import Unwarned, letters, sheets_of, touching
from tests.sheet_reading import DAY, SAMPLES

PIECE = '''
"""A post, as a later part of the lock might bring it."""

from core.layout.drawing import Stroke
from core.geometry.path import circle
from core.sheets.record import Hole, Piece, Setting, Sheet, Stock


def _sheets(layout):
    yield Sheet("post", "Post", (Stroke(circle((0.0, 0.0), 3.0), "cut", "post"),), "From above")


PIECE = Piece(
    "post", 95, sheets=_sheets,
    holes=lambda _: [Hole("post", (-20.0, -12.0), 4.0, fit="rivet 4.0 mm")],
    settings=lambda _: [Setting("post", 23.3, "pivot", "the post")],
    stock=lambda _: [Stock("post", 1, (12.0, 6.0), "round bar", "mild steel")],
    steps=lambda _: ["Post: drill it 23.3 mm from the pivot."],
)
'''


@pytest.mark.slow
@settings(max_examples=tries(3, 6))
@example(
    changed(
        SAMPLES[0],
        {"shackle.catch": "notch", "stops.locked": "shackle", "stops.locked_over": -20.0},
    )
)
@given(locks())
def test_any_lock_gives_sheets_and_tables(lock: Lock) -> None:
    whole(lock)


@settings(max_examples=tries(3, 8))
@given(changes())
@pytest.mark.slow
def test_a_sample_with_any_changes_gives_sheets_and_tables(new: dict[str, object]) -> None:
    whole(changed(SAMPLES[0], new))


@pytest.mark.slow
@settings(max_examples=30)
@example(changed(SAMPLES[0], {"bolt_line.height": 2000.0, "key.bit_thickness": 1.0}))
@given(st.one_of(locks(), changes().map(lambda new: changed(SAMPLES[0], new))))
def test_any_lock_gives_pages_with_every_text_clear(lock: Lock) -> None:
    job = whole(lock)
    pages = book(job, sheets_of(job))
    for page in pages[:: max(len(pages) // 6, 1)]:
        assert touching(job, page) == []


def test_the_two_lines_of_a_long_title_stand_clear_of_each_other() -> None:
    first, second = [
        letters(mark)
        for mark in text_block("Strip to try sizes, go and no-go, once more", (), 60.0).marks
        if isinstance(mark, Label)
    ]
    assert first.distance(second) > 0.1


def whole(lock: Lock) -> Job:
    job = Unwarned(Layout(lock), "any.toml", DAY)
    for sheet in all_sheets(job.layout):
        made = composed(sheet)
        text = svg_text(*made.whole(job), sheet.title)
        assert "nan" not in text.split("<text")[0]
        assert "inf" not in text.split("<text")[0]
    assert markdown(job, tables(job))
    return job


def test_a_piece_is_added_by_a_new_module_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "post_for_the_test.py").write_text(PIECE, encoding="utf-8")
    monkeypatch.setattr(pieces, "__path__", [*pieces.__path__, str(tmp_path)])
    gathering.all_pieces.cache_clear()
    importlib.invalidate_caches()
    try:
        layout = Layout(SAMPLES[0])
        assert "post" in sheet_titles(layout)
        job = Job(layout, "lock.toml", DAY)
        text = markdown(job, tables(job))
        assert "Post: drill it" in text
        assert text.count("| post, hole 4.0 mm") == 4  # on every face
        assert any(
            row[0].startswith("post") and row[1] == "2" for row in drill_schedule(layout).rows
        )
        assert ("pivot", "post", layout.show((20**2 + 12**2) ** 0.5)) in next(
            t.rows for t in tables(job) if t.title == "Check distances"
        )
        back = next(s for s in all_sheets(layout) if s.name == "back-plate-outside")
        assert any(isinstance(m, Stroke) and m.part == "post" for m in back.marks)
        assert all(isinstance(m, Stroke | Label) for m in composed(back).marks)
    finally:
        gathering.all_pieces.cache_clear()
        sys.modules.pop("core.sheets.pieces.post_for_the_test", None)
