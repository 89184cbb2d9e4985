"""The keys of the first page of a new lock."""

from tui.keys.acts import Act, Keys, Place, Stand
from tui.keys.common import (
    ACROSS,
    CHOICE,
    FOUND,
    HELP,
    LINE,
    NOTES,
    OUT,
    QUESTION,
    SHADE,
    prompt,
    rows,
)

ANSWER = prompt(
    "Take the answer and go on to the next question; on the last one, propose locks.",
    "Go back to the question before.", "AT A QUESTION",
)  # fmt: skip
BEGIN = Place("ANYWHERE HERE", (
    Act("escape", ("escape",), "From the proposals to the questions, from there to the list of locks.", "back", 6),
    Act("back", OUT, "Back to the list of locks; nothing is kept.", "leave", 20),
    Act("offers", FOUND, "Propose locks for the answers as they stand, and go into the proposals.", "propose", 4),
    Act("help", HELP, "What is asked here, and all the keys.", "help", 9),
    SHADE,
))  # fmt: skip
REASONS = Place("IN WHAT SPEAKS FOR IT", (
    Act("read_on", ("right",), "Read on in what speaks for the proposal at the cursor.", "read on", 5,
        written="Left/Right"),
    Act("read_back", ("left",), "Read back in it."),
))  # fmt: skip
OFFERS = rows(
    "IN THE PROPOSALS (F6)",
    "Take the lock at the cursor, and go on with it.",
    hint="take",
    move="look at",
)
BEGIN_KEYS = Keys("begin", "a new lock", (
    Stand("entry", (LINE, ANSWER, QUESTION, BEGIN), "number"),
    Stand("entry", (CHOICE, ANSWER, QUESTION, BEGIN), "choice"),
    Stand("entry", (LINE, NOTES, ANSWER, BEGIN), "text"),
    Stand("offers", (OFFERS, REASONS, ACROSS, QUESTION, BEGIN)),
))  # fmt: skip

OFFERED = Place("ANYWHERE HERE", (
    Act("back", ("escape", *OUT), "Back to the step; nothing is taken.", "back", 6),
    Act("help", HELP, "What is proposed here, and all the keys.", "help", 9),
    SHADE,
))  # fmt: skip
OFFERED_KEYS = Keys("offers", "the proposals", (
    Stand("offers", (rows("IN THE PROPOSALS", "Take the lock at the cursor.", hint="take", move="look at"), REASONS,
        QUESTION, OFFERED)),
))  # fmt: skip
