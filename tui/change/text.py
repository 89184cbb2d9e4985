"""The texts of the change view: how the made parts stand, the remedies, and what comes of the change."""

from typing import TYPE_CHECKING

from textual.content import Content

from core.change.comparison import Comparison, FindingChange, OutcomeChange, WindowChange
from core.change.offers_text import held_words, offer_words
from core.change.rescue import Offer
from core.layout.layout import Layout
from core.layout.windows import Window
from core.lock.lock import spec_of
from core.made.fitting import WORDS, Word
from core.made.judging import STEP
from core.made.standing import Standing
from core.made.wording import marks_words, shown_at, verdict_words
from core.text import plain
from tui.change.state import Trial, Weighed
from tui.widgets import desk_text as wording

if TYPE_CHECKING:
    from core.change.consequences import Kind, Reading

_Difference = FindingChange | OutcomeChange | WindowChange
ARROW = "→"
SIGNS: dict[Word, tuple[str, str]] = {
    "good": ("+", "$fine"), "use": ("~", "$fine"), "move": ("/", "bold $look"), "file": ("!", "bold $look"),
    "plug": ("o", "bold $look"), "remake": ("x", "bold $stop"),
}  # fmt: skip
"""Sign and style of each verdict; its word always stands with it."""
TALLIED: dict[Word, str] = {
    "remake": "{} to remake", "plug": "{} to plug", "file": "{} to file", "move": "{} to move",
    "use": "{} to use", "good": "{} good",
}  # fmt: skip
"""How many made parts have a verdict, in words, the worst first."""
_NONE = "none"


def heading(text: str, beside: str = "") -> Content:
    """Return a heading, with what stands quietly beside it."""
    return Content.assemble(
        Content.styled(text, "bold $accent"), Content.styled(f"  {beside}" if beside else "", "$quiet")
    )  # fmt: skip


def title(trial: Trial, found: Weighed | None, width: int) -> Content:
    """Return the top line: what is tried, and how the made parts stand."""
    value = trial.spec.shown(trial.value, trial.base.units)
    old = trial.spec.shown(trial.old, trial.base.units)
    step = f"{trial.spec.label}  {old} {ARROW} {value}" if trial.changed else trial.spec.label
    left = Content.assemble(
        " ", Content.styled("Change one dimension", "bold $strong"), Content.styled(f"  {step}", "$quiet")
    )  # fmt: skip
    right = tally(found.standing(trial)) if found is not None else Content("")
    left = left.truncate(max(width - right.cell_length - 2, 10), ellipsis=True)
    return left.pad_right(max(width - left.cell_length - right.cell_length - 1, 0)) + right


def tally(standing: Standing) -> Content:
    """Return how many made parts have which verdict, the worst first."""
    words = [verdict.word for verdict in standing.verdicts]
    parts = []
    for word, said in TALLIED.items():
        count = words.count(word)
        if count:
            parts.append(Content.styled(said.format(count), SIGNS[word][1]))
    return Content(", ").join(parts) if parts else Content.styled("no part is made", "$quiet")


def meant(trial: Trial, found: Weighed | None) -> Content:
    """Return how the change is meant, with what each reading leads to; nothing where it can be a wish only."""
    if found is None or found.consequences.fact is None:
        return Content("")
    sides = []
    kinds: tuple[tuple[Kind, str, Reading], ...] = (
        ("fact", "it came out so", found.consequences.fact),
        ("wish", "a wish", found.consequences.wish),
    )
    for kind, words, reading in kinds:
        said = f"[{words}]" if kind == trial.kind else f" {words} "
        style = "bold $accent" if kind == trial.kind else "$quiet"
        sides.append(Content.styled(said, style))
        if kind != trial.kind and trial.changed:
            sides.append(Content.assemble("(", tally(reading.standing), ")"))
    return Content.assemble(Content.styled("  Meant as ", "$quiet"), Content(" ").join(sides))


def fits(trial: Trial, window: Window | None, width: int) -> Content:
    """Return what fits at the prompt in one line, or why the entry was refused."""
    if trial.notice is not None:
        style = "bold $stop" if trial.refused else "$strong"
        return Content.styled(f"  {trial.notice.text}", style)
    if trial.spec.kind.entering == "picked":
        return Content.assemble(
            "  ", wording.words_to_pick(trial.spec, trial.value, trial.base.units)
        )
    if window is None or not isinstance(trial.value, int | float):
        return Content.styled(f"  It takes {trial.spec.allowed_in(trial.base.units)}.", "$quiet")
    line = wording.scale_line(trial.spec, trial.value, window, trial.base.units, min(width - 4, 60))
    return Content.assemble("  ", line)


def parts(trial: Trial, found: Weighed) -> Content:
    """Return how each made part stands; parts of which the same is said stand together."""
    standing = found.standing(trial)
    layout = standing.layout
    if not standing.verdicts:
        return Content.assemble(
            heading("MADE PARTS"), "\n",
            Content.styled("No part is marked as made: nothing is to be filed or remade.", "$quiet"),
        )  # fmt: skip
    tolerance = layout.show(layout.lock.fit.made_tolerance)
    lines = [heading("MADE PARTS", f"off by {tolerance} or less is good")]
    said: dict[tuple[Word, str], list[str]] = {}
    order = sorted(standing.verdicts, key=lambda verdict: -WORDS.index(verdict.word))
    for verdict in order:
        fitting = "" if verdict.word == "good" else verdict_words(layout, verdict)
        said.setdefault((verdict.word, fitting), []).append(verdict.name)
    for (word, text), names in said.items():
        sign, style = SIGNS[word]
        lines.append(
            Content.assemble(
                Content.styled(f"{sign} {word} ", style),
                Content.styled(", ".join(names), "bold"),
                f": {text}." if text else "",
            )
        )
    marks: dict[str, list[str]] = {}
    for verdict in standing.verdicts:
        words = marks_words(layout, verdict)
        if words:
            marks.setdefault(words, []).append(verdict.name)
    lines += [Content(f"· {', '.join(names)}: {words}.") for words, names in marks.items()]
    if trial.offer is None or trial.offer.nothing:
        for words in held_words(found.reading(trial.kind)):
            lines.append(Content.styled(f"· {words[0].upper()}{words[1:]}.", "$quiet"))
    return Content("\n").join(lines)


def offer_line(trial: Trial, found: Weighed, offer: Offer) -> Content:
    """Return a remedy in words and numbers, marked where it is taken."""
    taken = trial.offer is not None and trial.offer.lock == offer.lock
    words = offer_words(found.consequences, offer)
    return Content.assemble(
        Content.styled("[taken] " if taken else "> ", "bold $accent"), plain(words)
    )


def offers_heading(trial: Trial, found: Weighed) -> Content:
    """Return the heading of the remedies; nothing where none is called for."""
    standing = found.reading(trial.kind).standing
    if not trial.changed or all(verdict.word == "good" for verdict in standing.verdicts):
        return Content("")
    if found.offers:
        return heading("REMEDIES", "F6, then Enter takes one")
    if not found.complete:
        return heading("REMEDIES", "looking ...")
    if any(verdict.word == "plug" for verdict in standing.verdicts):
        return heading("REMEDIES", "no single dimension; kept, Ctrl+O and P plug the hole")
    return heading("REMEDIES", "no single dimension saves more of the made parts")


def comes_of_it(trial: Trial, comparison: Comparison | None) -> Content:
    """Return every outcome and finding as old and new, what got worse first."""
    if not trial.changed:
        return Content.styled(
            "Type or nudge a new value: nothing is changed until F2 keeps it.", "$quiet"
        )
    if comparison is None:
        return heading("WHAT COMES OF IT", "working out ...")
    rows = _rows(comparison)
    lines = [heading("WHAT COMES OF IT", "what got worse first")]
    if not rows:
        lines.append(
            Content.styled("Nothing else: every outcome and finding is as it was.", "$quiet")
        )
    return Content("\n").join([*lines, *rows])


def _rows(comparison: Comparison) -> list[Content]:
    worse = [_row("worse", _words(comparison, change)) for change in _known(comparison.worse)]
    findings = [c for c in comparison.findings if not _of_made(c)]
    outcomes = [c for c in comparison.outcomes if c.differs]
    eased: list[_Difference] = [c for c in findings if c.trend == "better"]
    eased += [c for c in outcomes if c.trend == "better"]
    eased += [c for c in comparison.windows if c.new_fits and not c.old_fits]
    better = [_row("better", _words(comparison, c)) for c in eased]
    other = [_row("other", _words(comparison, c)) for c in outcomes if c.trend == "other"]
    stays = [_row("as was", _words(comparison, c)) for c in findings if c.trend == "other"]
    return [*worse, *better, *other, *stays]


def _known(
    changes: tuple[_Difference, ...],
) -> list[_Difference]:
    """Return the changes without the findings on made parts, which stand above."""
    return [c for c in changes if not (isinstance(c, FindingChange) and _of_made(c))]


def _of_made(change: FindingChange) -> bool:
    finding = change.new or change.old
    return finding is not None and finding.step == STEP


def _row(trend: str, words: str) -> Content:
    style = {"worse": "bold $look", "better": "$fine"}.get(trend, "$quiet")
    return Content.assemble(Content.styled(f"{trend:<7}", style), words)


def _words(comparison: Comparison, change: _Difference) -> str:
    old, new = comparison.old, comparison.new
    match change:
        case OutcomeChange():
            sides = [change.outcome.shown(old, change.old), change.outcome.shown(new, change.new)]
            return f"{change.outcome.label}: {sides[0]} {ARROW} {sides[1]}"
        case WindowChange():
            sides = ["fits" if fit else "outside" for fit in (change.old_fits, change.new_fits)]
            ends = _ends(new, change.new)
            return f"{spec_of(change.path).label}: {sides[0]} {ARROW} {sides[1]}{ends}"
        case _:
            levels = [_NONE if f is None else f.level for f in (change.old, change.new)]
            finding = change.new or change.old
            text = "" if finding is None else f"{finding.step}: {plain(finding.text)}"
            return f"{levels[0]} {ARROW} {levels[1]}  {text}"


def _ends(layout: Layout, window: Window | None) -> str:
    if window is None:
        return ""
    said = [
        f"{word} {shown_at(end.path, end.value, layout.lock.units)}"
        for word, end in (("at least", window.low), ("at most", window.high))
        if end is not None
    ]
    return f" ({', '.join(said)})" if said else ""
