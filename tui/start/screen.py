"""The first screen: which lock to work on, with a look at each."""

from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from core.files.project_file import Project
from core.files.recovery import Recovery
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.text import plain
from tui.begin.screen import BeginScreen
from tui.desk.checking import verdict
from tui.desk.saving import remembered, seated
from tui.desk.session import Session, layout_of
from tui.keys.acts import bindings
from tui.keys.of_dialogs import START, START_KEYS
from tui.plot.picture import Wanted
from tui.plot.views import region, upright
from tui.start import shelf
from tui.widgets import desk_text as wording
from tui.widgets.choice_list import ChoiceList
from tui.widgets.dialogs import Answer, Ask
from tui.widgets.drawing_view import Drawing
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.screens import ShadedScreen
from tui.work.screen import WorkScreen

_OFFERED = """\
The locks in this folder, with unsaved work first; a first lock with a guide, who tells in each of the first seven \
steps what is decided there, why, and what to look at; a new lock in millimetres or in inches; and the demo \
locks, which are saved under a name of your own. A file that is no lock is named, with the reason beside it."""
_MEASURES = "What do you measure in? It can be changed later, in the step of the lock itself."
_UNITS = (
    Answer("mm", "Millimetres"),
    Answer("in", "Inches"),
    Answer("back", "Go back"),
)
_CAUTION = "For locks of your own. Follow your local codes; no security rating is claimed."


class StartScreen(ShadedScreen):
    """The locks that there are, and the way to a new one."""

    KEYS = START_KEYS
    BINDINGS = bindings(START)

    def __init__(self, folder: Path) -> None:
        """Offer the locks of `folder`."""
        super().__init__()
        self._folder = folder
        self._offers: tuple[shelf.Offer, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            yield ChoiceList(self._open, self._preview, id="locks")
            with Vertical(id="preview"):
                yield Static(id="about", markup=False)
                yield Drawing(id="drawing")
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Fill the list."""
        title = Content.assemble(
            Content.styled(" boltwright ", "bold $accent"),
            Content.styled(" how the key carries the bolt of a padlock made by hand", "$quiet"),
        )
        self.query_one("#title", Static).update(title)
        self.query_one("#drawing").can_focus = False
        self.fill()

    def on_screen_resume(self) -> None:
        """Look at the folder again after a lock was worked on."""
        if self._offers:
            self.fill()

    def fill(self) -> None:
        """Read the folder and show what it offers."""
        self._offers = shelf.offers(self._folder)
        locks = self.query_one("#locks", ChoiceList)
        locks.fill(
            Content.assemble(
                Content.styled(offer.title or "no title", "bold"),
                *([Content(f"\n  {offer.beside}")] if offer.beside else []),
            )
            for offer in self._offers
        )
        if locks.highlighted is None:
            locks.action_first()
        self.set_focus(locks)

    def _preview(self, number: int) -> None:
        """Draw the lock at the cursor, and check it once it is drawn."""
        offer = self._offers[number]
        about = self.query_one("#about", Static)
        drawing = self.query_one(Drawing)
        drawing.display = offer.session is not None
        if offer.session is None:
            about.update(Content.styled(offer.wrong, "$stop"))
            return
        layout = layout_of(offer.session.lock)
        wanted = Wanted(("bolt",))
        drawing.show(upright(layout), region(layout, "whole"), wanted)
        about.update(Content.styled(_CAUTION, "$quiet"))
        self.set_timer(0.15, lambda: self._say_verdict(number))

    def _say_verdict(self, index: int) -> None:
        locks = self.query_one("#locks", ChoiceList)
        if locks.highlighted != index or index >= len(self._offers):
            return  # the maker is further down by now
        session = self._offers[index].session
        if session is None:
            return
        found = verdict(layout_of(session.lock))
        text = Content.assemble(wording.tally(found), "\n", Content.styled(_CAUTION, "$quiet"))
        self.query_one("#about", Static).update(text)

    def _open(self, number: int) -> None:
        """Open the lock that was chosen."""
        offer = self._offers[number]
        if offer.asks:
            self.app.push_screen(Ask(_MEASURES, *_UNITS), self._guided)
        elif offer.begins:
            self.app.push_screen(BeginScreen(first_lock(offer.begins), self._begun))
        elif offer.session is not None:
            open_lock(self, offer.session, offer.copy)

    def _guided(self, units: str | None) -> None:
        """Begin a first lock with the guide, in the units that were chosen."""
        if units in ("mm", "in"):
            _begin(self, shelf.new_lock(units), "", guided=True)

    def _begun(self, lock: Lock, pending: frozenset[str]) -> None:
        """Open a lock that was proposed for what its maker has, as unsaved work: it is in no file yet."""
        session = Session(lock, Project(None, Lock()), pending=pending)
        self.call_after_refresh(open_lock, self, session)

    def help_page(self) -> Content:
        """Return what is offered here."""
        return Content("\n").join([heading_line("THE LOCKS HERE"), Content(_OFFERED)])

    def action_leave(self) -> None:
        """Quit."""
        self.app.exit()


def open_lock(screen: Screen[None], session: Session, copy: Recovery | None = None) -> None:
    """Open the working screen over `screen`, asking first about work that was not saved.

    `copy` is the recovery copy that a session without a file comes from.
    """
    session = remembered(session)
    news = " ".join(note.text for note in session.beside)
    if copy is not None:
        _begin(screen, session, news, copy)
        return
    found = shelf.recovered(session.project)
    copies = {f"take {number}": c for number, c in enumerate(found) if c.lock is not None}
    if not copies:
        _begin(screen, session, news)
        return

    def answered(answer: str | None) -> None:
        taken = copies.get(answer or "")
        if taken is not None and taken.lock is not None:
            kept = session.changed(taken.lock, what="unsaved work taken up again")
            _begin(screen, kept, news, taken)
        elif answer == "file":
            _begin(screen, session, " ".join([news, *shelf.dropped(session, copies.values())]))

    name = plain(session.lock.title) or "this lock"
    question = f"There is unsaved work on {name}, of {shelf.written_at(found[0])}."
    changed = [c.note.text for c in copies.values() if c.note is not None]
    words = "Take it up where it was left" if len(copies) == 1 else "Take up what was left on {}"
    screen.app.push_screen(
        Ask(
            " ".join([question, *changed[:1]]),
            *(Answer(name, words.format(shelf.written_at(c))) for name, c in copies.items()),
            Answer("file", "Open the lock as it was saved"),
            Answer("stay", "Go back"),
        ),
        answered,
    )


def _begin(
    screen: Screen[None],
    session: Session,
    news: str,
    copy: Recovery | None = None,
    *,
    guided: bool = False,
) -> None:
    session, first = seated(session, copy)
    if not first:
        open_too = (
            "This lock is open in another window of the program; who saves second is asked first."
        )
        news = f"{open_too} {news}"
    typed = copy.typed if copy is not None else None
    screen.app.push_screen(WorkScreen(session, news.strip(), typed, guided=guided))
