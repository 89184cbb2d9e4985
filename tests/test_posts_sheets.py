"""Posts on the sheets: their holes on every face, their names, the drill schedule, and the order of work."""

import pytest

from core.layout.drawing import Label, Stroke
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.row_changes import rows_of
from core.lock.rows.posts import Post
from core.report.data import FACES
from core.sheets.drill_table import drill_schedule
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.sheets.gathering import all_holes
from core.sheets.markdown import markdown
from core.sheets.tables import tables
from tests.locks import posted
from tests.sheet_reading import DAY

POSTED = posted(
    (0.0, -26.0), (30.0, 40.0), (-25.0, -6.0, 5.0), lock=Lock().with_value("pivot.across", 1.5)
)


def test_every_face_has_the_holes_where_the_marking_says() -> None:
    layout = Layout(POSTED)
    sheets = {sheet.name: sheet for sheet in all_sheets(layout)}
    for face, sign in FACES:
        sheet = sheets[face.replace(", ", "-").replace(" ", "-")]
        for name, post in rows_of(POSTED, Post).items():
            own = [mark for mark in sheet.marks if getattr(mark, "part", "") == f"post {name}"]
            rounds = [
                m for m in own if isinstance(m, Stroke) and m.layer == "drill" and m.path.closed
            ]
            (hole,) = rounds
            left, low, right, high = hole.path.bounds()
            x, y = to_plate(layout).point((post.across, post.above))
            assert ((left + right) / 2, (low + high) / 2) == pytest.approx((sign * x, y), abs=1e-9)
            assert right - left == pytest.approx(post.diameter)
            assert [m.text for m in own if isinstance(m, Label)] == [f"post {name}"]


def test_drills_and_order_of_work() -> None:
    layout = Layout(POSTED)
    lines = {row[0]: row for row in drill_schedule(layout).rows if row[0].startswith("post")}
    assert [(row[1], row[3]) for row in drill_schedule(layout).rows if row[0].startswith("post")] == [
        ("4", "4.0 mm"), ("2", "5.0 mm"),
    ]  # fmt: skip
    assert "post (back plate and front plate)" in lines
    text = markdown(Job(layout, "lock.toml", DAY), tables(Job(layout, "lock.toml", DAY)))
    assert text.index("Post a: on the centreline, 26.0 mm below the pivot; drill it 4.0 mm") > 0
    assert (
        "Post c: 25.0 mm to the left of the centreline, 6.0 mm below the pivot; drill it 5.0 mm"
        in text
    )
    assert "eye protection on" in text
    assert text.count("| post b, hole 4.0 mm") == 4


def test_no_posts_no_word_of_them() -> None:
    assert not [hole for hole in all_holes(Layout(Lock())) if hole.group]
    job = Job(Layout(Lock()), "lock.toml", DAY)
    assert "post" not in markdown(job, tables(job)).lower()
