"""Findings are marked in the layout drawing, and a drawing that is looked at otherwise says so."""

from core.layout.layout import Layout
from core.lock.fields import SOURCE_NONE
from core.lock.lock import Lock, spec_of
from tests.locks import changed, posted
from tui.desk.checking import checked
from tui.desk.desk import Desk
from tui.desk.session import Session
from tui.plot.scale import Sight
from tui.steps.walk import all_steps
from tui.widgets.desk_text import PRACTICE, fit
from tui.widgets.drawing_view import Drawing
from tui.work.help import help_page
from tui.work.marked import spots


def test_every_stop_and_look_is_marked_at_a_dimension() -> None:
    layout = Layout(changed(Lock(), {"key.radius": 30.0}))
    found = checked(layout)
    marked = spots(layout, found)
    assert any(spot.sign == "x" for spot in marked)
    assert len({spot.at for spot in marked}) == len(marked)
    assert len(marked) <= sum(f.level != "note" for f in found.findings)


def test_a_lock_that_is_fine_has_no_mark() -> None:
    layout = Layout(changed(Lock(), {"shackle.drop": 10.0}))
    found = checked(layout)
    assert not [f for f in found.findings if f.level != "note"]
    assert spots(layout, found) == ()
    assert spots(layout, None) == ()


def test_what_was_found_of_a_row_that_has_gone_since_is_marked_nowhere() -> None:
    with_post = checked(Layout(posted((10.0, 20.0))))
    assert any(finding.code.startswith("post") for finding in with_post.findings)
    assert not any(spot.sign == "x" for spot in spots(Layout(Lock()), with_post))


def test_a_drawing_that_is_zoomed_tells_by_how_much_and_the_key_back() -> None:
    drawing = Drawing()
    assert drawing._told(60) == []
    drawing.sight = Sight(zoom=1.5)
    ((text, _),) = drawing._told(60)
    assert text.strip() == "1.5 times: F8 0 all of it"
    drawing.sight = Sight(pan=(3.0, 0.0))
    ((text, _),) = drawing._told(60)
    assert "moved" in text


def test_common_practice_is_one_mark_on_the_screen_and_explained_once_in_the_help() -> None:
    for step in all_steps():
        for path in step.asked(Lock()):
            spec = spec_of(path)
            shown = fit(spec, Lock().value(path), None, "mm", 60).plain
            assert SOURCE_NONE not in shown
            assert (SOURCE_NONE in spec.usual) == (PRACTICE in shown), path
    page = help_page(Desk(Session()).at_path("plate.width")).plain
    assert page.count("THE SIGN *") == 1
    assert SOURCE_NONE not in page.replace("common practice in the trade", "")
