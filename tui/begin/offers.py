"""Whole locks that are proposed for the lock at hand, over the working screen: looked at, and taken by one key."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from core.lock.lock import Lock
from core.lock.paths import row_paths
from core.lock.row_changes import names_in
from core.lock.rows.posts import ROWS as POSTS
from core.propose.given import AT_HAND, SETTLED
from core.propose.proposals import Proposed, proposing
from tui.begin import text as begin_text
from tui.begin.state import Offered
from tui.begin.why import Reasoned, Why
from tui.desk.session import layout_of
from tui.keys.acts import bindings
from tui.keys.common import QUESTION
from tui.keys.of_begin import OFFERED, OFFERED_KEYS, REASONS
from tui.plot.picture import Wanted
from tui.plot.views import region, upright
from tui.widgets.choice_list import ChoiceList
from tui.widgets.drawing_view import Drawing
from tui.widgets.hints import Hints
from tui.widgets.pane import Pane
from tui.widgets.piecework import Piecework
from tui.widgets.screens import FullScreen
from tui.widgets.telling import tell

if TYPE_CHECKING:
    from tui.desk.host import Host


class OffersScreen(Reasoned, FullScreen):
    """Proposals for the lock on a working screen, in which sizes that are kept stay as they are."""

    CSS_PATH = "begin.tcss"
    KEYS = OFFERED_KEYS
    BINDINGS = bindings(OFFERED, REASONS, QUESTION)

    def __init__(self, work: "Host") -> None:
        """Propose for the lock on a working screen."""
        super().__init__()
        self._host = work
        self._kept = work.desk.session.held & set(SETTLED)
        self._offered = Offered(work.desk.lock, None)
        self._pieces: Piecework[Offered] = Piecework(self, self._learn)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Pane(id="side"):
                yield Static(id="told", markup=False)
                yield ChoiceList(self._take, self._look_at, id="offers")
            with Vertical(id="preview"):
                yield Why(id="why")
                yield Drawing(id="drawing")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Begin to work the proposals out, with the lock as it is in sight."""
        self.query_one("#drawing").can_focus = False
        tell(self, "title", begin_text.offers_title(self._kept))
        self._draw(self._offered.lock, Content.styled(begin_text.AS_IT_IS, "$quiet"))
        tell(self, "told", begin_text.offers_told(self._offered))
        self._pieces.begin(_offering(self._offered.lock, self._kept))
        self.set_focus(self.query_one("#offers"))

    def on_resize(self, event: events.Resize) -> None:
        """Keep the cursor in the list when a window that was too small has lost it."""
        super().on_resize(event)
        if self.focused is None:
            self.set_focus(self.query_one("#offers"))

    @property
    def checks_done(self) -> bool:
        """Whether nothing is being worked out."""
        return self._offered.complete

    @property
    def _offers(self) -> tuple[Proposed, ...]:
        return self._offered.found.found if self._offered.found is not None else ()

    def _learn(self, offered: Offered) -> None:
        self._offered = offered
        tell(self, "told", begin_text.offers_told(offered))
        self.query_one("#offers", ChoiceList).fill(map(begin_text.offer_line, self._offers))
        if self._offers:
            self.query_one("#offers", ChoiceList).action_first()

    def _draw(self, lock: Lock, about: Content) -> None:
        layout = layout_of(lock)
        self.query_one(Drawing).show(upright(layout), region(layout, "plate"), Wanted(("bolt",)))
        self.tell_why(about)

    def _look_at(self, number: int) -> None:
        """Draw the proposal at the cursor."""
        if number < len(self._offers):
            self._draw(self._offers[number].lock, begin_text.reasons(self._offers[number]))

    def _take(self, number: int) -> None:
        """Take a proposal, as one change."""
        one, desk = self._offers[number], self._host.desk
        taken = desk.changed(one.lock, f"proposal: {one.proposal.what}")
        self.dismiss(None)
        self._host.set_desk(taken.said(begin_text.taken(one)))

    def action_back(self) -> None:
        """Go back; nothing is taken."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return the help of the proposals."""
        return begin_text.offers_help()


def _offering(lock: Lock, kept: frozenset[str]) -> Iterator[Offered | None]:
    posts = row_paths(POSTS.table, names_in(lock, POSTS.table))
    for found in proposing(lock, {*kept, *AT_HAND, *posts}):
        yield None if found is None else Offered(lock, found)


def over(work: "Host") -> OffersScreen:
    """Return the proposals over a working screen."""
    return OffersScreen(work)
