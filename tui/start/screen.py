"""The first screen: which lock to work on, with a look at each."""

from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from core.files import moving
from core.files.project_file import Project
from core.files.recent import remember
from core.files.recovery import Recovery
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.text import plain
from tui.desk.checking import verdict
from tui.desk.saving import remembered, seated
from tui.desk.session import Session, layout_of
from tui.keys.acts import bindings
from tui.keys.of_dialogs import START, START_KEYS
from tui.plot.picture import Wanted
from tui.plot.views import region, upright
from tui.start import shelf
from tui.start.filling import Filled, filled
from tui.start.new_place import AskPlace, Doing
from tui.start.rows import row
from tui.start.shelf import Offer
from tui.widgets import desk_text as wording
from tui.widgets.choice_list import ChoiceList
from tui.widgets.dialogs import Answer, Ask
from tui.widgets.drawing_view import Drawing
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.piecework import Piecework
from tui.widgets.screens import ShadedScreen
from tui.work.screen import WorkScreen

_OFFERED = """\
The locks in this folder, with unsaved work first, and those of other folders that were worked on last: each with how \
it stands, its file, and its last change; a first lock, with each of the first seven \
steps explained: what is decided there, why, and what to look at; a new lock in millimetres or in inches; and the demo \
locks, which are saved under a name of your own. A file that is no lock is named, with the reason beside it."""
_SORTED: dict[shelf.Order, str] = {
    "name": "name", "change": "last change, the newest first", "state": "how they stand, the worst first",
}  # fmt: skip
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
        self._offers: tuple[Offer, ...] = ()
        self._order: shelf.Order = "name"
        self._said = ""
        self._away = False
        self._fills = Piecework[Filled](self, self._learn)

    def compose(self) -> ComposeResult:
        """Lay out the screen, once it is seen: under a lock that was asked for at the start nobody sees it."""
        front = self.app.screen
        if front is not self and not front.is_modal:
            return
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            yield ChoiceList(self._open, self._preview, id="locks")
            with Vertical(id="preview"):
                yield Static(id="about", markup=False)
                yield Drawing(id="drawing")
        yield Hints(self.KEYS, id="hints")

    @property
    def laid_out(self) -> bool:
        """Whether the list is there."""
        return bool(self.query("#locks"))

    def on_mount(self) -> None:
        """Fill the list, if it is there."""
        self._away = not self.laid_out
        if not self._away:
            self._begin_list()

    def _begin_list(self) -> None:
        """Say what the list is, and fill it."""
        title = Content.assemble(
            Content.styled(" boltwright ", "bold $accent"),
            Content.styled(" how the key carries the bolt of a padlock made by hand", "$quiet"),
        )
        self.query_one("#title", Static).update(title)
        self.query_one("#drawing").can_focus = False
        self.fill()

    async def on_screen_resume(self) -> None:
        """Look at the folder again after a lock was worked on."""
        if not self._away or self.app.screen is not self:
            return
        self._away = False
        if self.laid_out:
            self.fill()
            return
        await self.recompose()
        if self.laid_out:  # else the program is on its way out
            self._begin_list()

    def on_screen_suspend(self) -> None:
        """Look no farther into the locks while another screen is in front."""
        self._away = True
        self._fills.leave_off()

    @property
    def checks_done(self) -> bool:
        """Whether all that the list says of each lock is known."""
        return self._fills.done

    def fill(self, at: Path | None = None) -> None:
        """Read the folder and show what it offers, the cursor on the lock in the file `at`, if one is given."""
        known = {offer.path: offer for offer in self._offers if offer.path is not None}
        self._put(shelf.offers(self._folder, self._order, known), at)
        self._fills.begin(filled(self._offers))
        self.set_focus(self.query_one("#locks", ChoiceList))

    def _put(self, offers: tuple[Offer, ...], at: Path | None = None) -> None:
        """Show these offers, the cursor where it was, or on the lock in the file `at`."""
        locks = self.query_one("#locks", ChoiceList)
        before, self._offers = self._offers, offers
        here = locks.highlighted
        locks.fill(map(row, offers))
        wanted = at or (before[here].path if here is not None and here < len(before) else None)
        moved = [n for n, offer in enumerate(offers) if offer.path == wanted is not None]
        if moved and moved[0] != locks.highlighted:
            locks.highlighted = moved[0]
        elif locks.highlighted is None:
            locks.action_first()

    def _learn(self, known: Filled) -> None:
        """Show what was found out of the locks; once all is known, each in its place."""
        arranged = shelf.arranged(known.offers, self._order) if known.complete else known.offers
        if [offer.path for offer in arranged] != [offer.path for offer in self._offers]:
            self._put(arranged)
            return
        before, self._offers = self._offers, arranged
        self.query_one("#locks", ChoiceList).write(map(row, arranged))
        here = self._here
        if here is not None and arranged[here] != before[here]:
            self._preview(here)

    @property
    def _here(self) -> int | None:
        """The number of the offer at the cursor."""
        here = self.query_one("#locks", ChoiceList).highlighted
        return here if here is not None and here < len(self._offers) else None

    def _read(self, number: int) -> Offer:
        """Return an offer, its file looked into."""
        offer = shelf.looked(self._offers[number])
        self._offers = (*self._offers[:number], offer, *self._offers[number + 1 :])
        return offer

    def _preview(self, number: int) -> None:
        """Draw the lock at the cursor, and check it once it is drawn."""
        offer = self._read(number)
        drawing = self.query_one(Drawing)
        drawing.display = offer.session is not None
        if offer.session is None:
            self._tell(Content.styled(offer.wrong, "$stop"))
            return
        layout = layout_of(offer.session.lock)
        wanted = Wanted(("bolt",))
        drawing.show(upright(layout), region(layout, "whole"), wanted)
        if offer.found is not None:
            self._tell(wording.tally(offer.found), Content.styled(_CAUTION, "$quiet"))
        else:
            self._tell(Content.styled(_CAUTION, "$quiet"))
            self.set_timer(0.15, lambda: self._say_verdict(number, offer))

    def _say_verdict(self, number: int, offer: Offer) -> None:
        if self._here != number or self._offers[number] is not offer or offer.session is None:
            return  # the maker is farther down by now
        found = offer.found or verdict(layout_of(offer.session.lock))
        self._tell(wording.tally(found), Content.styled(_CAUTION, "$quiet"))

    def _tell(self, *texts: Content) -> None:
        """Show texts over the drawing, below what there is to say of what was done last."""
        said = [Content.styled(self._said, "bold $strong")] if self._said else []
        self.query_one("#about", Static).update(Content("\n").join([*said, *texts]))

    def _open(self, number: int) -> None:
        """Open the lock that was chosen."""
        self._said = ""
        offer = self._read(number)
        if offer.asks:
            self.app.push_screen(Ask(_MEASURES, *_UNITS), self._guided)
        elif offer.begins:
            # not loaded before it is wanted: every start would wait for it
            from tui.begin.screen import BeginScreen

            self.app.push_screen(BeginScreen(first_lock(offer.begins), self._begun))
        elif offer.session is not None:
            open_lock(self, offer.session, offer.copy)

    # what is done with the locks themselves

    def action_sort(self) -> None:
        """Sort the saved locks by the next that they can be sorted by."""
        number = shelf.ORDERS.index(self._order) + 1
        self._order = shelf.ORDERS[number % len(shelf.ORDERS)]
        self._said = f"Sorted by {_SORTED[self._order]}."
        self._put(shelf.arranged(self._offers, self._order))
        if self._here is not None:
            self._preview(self._here)

    def action_rename(self) -> None:
        """Give the lock at the cursor another name."""
        self._place("Another name for {}:", "{} is called {} now.", moving.move)

    def action_copy(self) -> None:
        """Copy the lock at the cursor."""
        self._place("Name of the copy of {}:", "{} was copied to {}.", moving.copy, copy=True)

    def action_move(self) -> None:
        """Move the lock at the cursor into another folder."""
        self._place(
            "Folder to move {} into; it is made where there is none:", "{} is in {} now.",
            moving.move_into, folder="kept",
        )  # fmt: skip

    def _place(
        self, question: str, told: str, do: Doing, *, copy: bool = False, folder: str = ""
    ) -> None:
        """Ask where the lock at the cursor shall go, do it, and tell what was done."""
        path = self._offers[self._here].path if self._here is not None else None
        if path is None:
            self._said = "That is for locks in a file: open this one, and F2 saves it in one."
            if self._here is not None:
                self._preview(self._here)
            return
        name = plain(path.name)

        def done(new: Path | None) -> None:
            if new is None:
                return
            if not copy:
                remember(new, gone=path)
            self._said = told.format(name, plain(str(new.parent) if folder else new.name))
            self.fill(new)
            if self._here is not None:
                self._preview(self._here)

        suggested = folder or (f"{path.stem}_copy.toml" if copy else path.name)
        ask = AskPlace(question.format(name), suggested, path, do, folder=bool(folder))
        self.app.push_screen(ask, done)

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
            again = session.changed(taken.lock, what="unsaved work taken up again")
            kept = again.of_lock(taken.lock)
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
    if session.project.path is not None:
        remember(session.project.path)
    typed = copy.typed if copy is not None else None
    screen.app.push_screen(WorkScreen(session, news.strip(), typed, guided=guided))
