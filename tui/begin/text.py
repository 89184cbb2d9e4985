"""The texts of the first page of a new lock."""

from collections.abc import Iterable

from textual.content import Content

from core.layout.layout import Layout
from core.propose.proposals import Proposed
from core.propose.proposals_text import named, refusal_words
from core.text import capital, listed, plain
from tui.begin.state import Answers, Offered
from tui.keys.common import UNDO
from tui.widgets.help_text import heading_line

_HELP = """\
Say what you have: plate, the shackle's end, the sheet for the bolt. What you do not answer is taken as is usual, and \
marked so. Enter on the last question works out locks that fit, which no check stops; each is best at something, and \
says where it is tightest. Up and Down look at them in the drawing, Enter takes one, and you go on from there: every \
step that you have not been at says that it is only proposed. Sheet, bar and the drill for the pivot hole come from \
stock, but for what you say."""
_OFFERS = """\
Whole locks for the plate, the shackle's end and the sheet of the lock at hand. A size that is kept, by Alt+K at its \
prompt, stays as it is, and so does what is made already; shank and \
pivot hole come from stock. Up and Down look at them in the drawing, Enter takes one in one change, Ctrl+Z takes it \
back."""
SAFE = "For locks of your own. Follow your local codes; no security rating is claimed."


def title(width: int) -> Content:
    """Return the top line."""
    left = Content.assemble(
        Content.styled(" A new lock ", "bold $accent"),
        Content.styled(" what you have; the rest is proposed", "$quiet"),
    )
    return left.truncate(max(width, 1), ellipsis=True)


def how(answers: Answers) -> str:
    """Return what is asked at hand, and how it is measured."""
    spec = answers.spec
    return " ".join(part for part in (spec.what, spec.measure) if part)


def offer_line(one: Proposed) -> Content:
    """Return a proposal as a line of a list: what it is best at, and where it is tightest."""
    show = Layout(one.lock).show
    return Content.assemble(
        Content.styled(capital(one.proposal.what), "bold"),
        f"\n  {show(one.margin)} to spare at {one.by}",
    )


def reasons(one: Proposed) -> Content:
    """Return what speaks for a proposal."""
    return Content("\n").join(Content(plain(reason)) for reason in one.proposal.reasons)


def told(answers: Answers, offered: Offered | None) -> Content:
    """Return what there is to say below the questions."""
    if answers.notice is not None:
        return Content.styled(answers.notice.text, "bold $stop" if answers.refused else "$strong")
    if offered is None:
        return Content.styled("F6, or Enter on the last question, proposes locks.", "$quiet")
    if offered.found is None:
        return Content.styled("Working out what fits ...", "$quiet")
    if offered.found.refusal is not None:
        words = refusal_words(Layout(answers.lock), offered.found.refusal)
        return Content.styled(words, "bold $stop")
    return Content.styled("Locks that work; Enter takes one:", "$strong")


AS_IT_IS = "The lock as it is."


def offers_title(kept: Iterable[str]) -> Content:
    """Return the top line over proposals for a lock at hand: what is kept in them."""
    names = [named(path) for path in sorted(kept)]
    words = (
        f" {listed(names)} kept" if names else " nothing kept but the plate and the shackle's end"
    )
    return Content.assemble(
        Content.styled(" Locks for what is kept ", "bold $accent"), Content.styled(words, "$quiet")
    )


def offers_told(offered: Offered) -> Content:
    """Return what there is to say over the proposals for a lock at hand."""
    return told(Answers(offered.lock), offered)


def taken(one: Proposed) -> str:
    """Return what is said once a proposal has been taken."""
    return f"Taken: {one.proposal.what}. {UNDO.shown} takes it back."


def offers_help() -> Content:
    """Return the help of the proposals for a lock at hand."""
    return Content("\n").join([heading_line("LOCKS FOR WHAT IS KEPT"), Content(_OFFERS)])


def help_page() -> Content:
    """Return the help of the page."""
    return Content("\n").join([heading_line("A NEW LOCK"), Content(_HELP), Content(SAFE)])
