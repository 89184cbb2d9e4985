"""The texts of the working screen, made from the state: plain values in, styled text out."""

import math
import textwrap
from collections.abc import Callable

from textual.content import Content

from core.layout.findings import Finding, Level
from core.layout.layout import Layout
from core.layout.windows import Bound, Window
from core.lock.fields import SOURCE_NONE
from core.lock.lock import Lock, spec_of
from core.lock.paths import short_label
from core.lock.spec import Spec
from core.systems import in_words, show_area, show_both, show_pressure
from core.text import listed, plain
from core.whole.as_built import as_built
from tui.desk.at_prompt import Notice
from tui.desk.checking import Checked
from tui.desk.opening import Opened
from tui.desk.opening import words as opening_words
from tui.desk.session import Session, layout_of
from tui.keys.common import OPENINGS, SEE_WAY
from tui.steps.step import ReadOff, Step

SIGNS: dict[Level | None, str] = {"stop": "x", "look": "!", "note": "·", None: "+"}
"""The sign of each level where there is no room for its word; None where all is fine."""
_COLOURS: dict[Level | None, str] = {
    "stop": "$stop", "look": "$look", "note": "$quiet", None: "$fine",
}  # fmt: skip
UNSEEN = "?"
"""The sign of a step of a new lock of which not all values have been taken yet."""
PRACTICE = "*"
"""Stands on the screen for what is common practice in the trade and has no source; the help says so once."""
LABEL = 20
"""Columns that a prompt's label takes."""
WAY_KEYS = tuple(act.keys[0] for act in OPENINGS.acts if act is not SEE_WAY)
"""The keys of what lets something fit, in order."""


def practised(text: str) -> str:
    """Return a text with a mark in place of the words that it is common practice."""
    return text.replace(f" ({SOURCE_NONE})", PRACTICE).replace(f", {SOURCE_NONE}", PRACTICE)


def level_style(level: Level | None) -> str:
    """Return the style of a level's sign or word."""
    return f"bold {_COLOURS[level]}" if level in ("stop", "look") else _COLOURS[level]


def level_word(level: Level | None) -> str:
    """Return the word for a level: stop, look or fine."""
    return level if level in ("stop", "look") else "fine"


def title_line(session: Session, found: Checked | None, width: int) -> Content:
    """Return the top line: the title, the file and what state it is in, and the verdict."""
    file = session.project.path
    state = "changed since saved" if session.dirty else "saved"
    right = tally(found)
    room = max(width - len(right.plain) - 2, 10)
    title = plain(session.lock.title) or "no title"
    left = Content.assemble(
        " ",
        Content.styled(title, "bold $strong"),
        Content.styled(
            f"  {plain(file.name)}, {state}" if file is not None else "  not saved yet", "$quiet"
        ),
    ).truncate(room, ellipsis=True)
    return left.pad_right(max(width - left.cell_length - len(right.plain) - 1, 0)) + right


def tally(found: Checked | None) -> Content:
    """Return how many findings there are of each level, or that the lock stands."""
    if found is None:
        return Content.styled("checking", "$quiet")
    parts = []
    for level in ("stop", "look", "note"):
        count = sum(finding.level == level for finding in found.findings)
        if count:
            word = f"{count} {level}{'s' if count > 1 else ''}"
            parts.append(Content.styled(word, level_style(level)))
    return Content(", ").join(parts) if parts else Content.styled("all fine", "$fine")


def head(
    step: Step, number: int, count: int, found: Checked | None, *, unseen: bool = False
) -> Content:
    """Return the step's title with its verdict; `unseen` where nobody has taken all of its values yet."""
    verdict = Content.styled("...", "$quiet")
    if found is not None:
        level = found.level(step.name)
        verdict = Content.styled(f"{SIGNS[level]} {level_word(level)}", level_style(level))
        if unseen and level in (None, "note"):
            verdict = Content.styled(f"{UNSEEN} proposed, not seen yet", "$quiet")
    return Content.assemble(
        Content.styled(step.title, "bold $accent"),
        Content.styled(f"  step {number} of {count}  ", "$quiet"),
        verdict,
    )


def row(lock: Lock, path: str, window: Window | None, beside: str = "") -> Content:
    """Return one prompt that is not at hand: its label, its value, whether it fits, else what stands `beside` it."""
    spec = spec_of(path)
    value = lock.value(path)
    label = short_label(spec, path, LABEL).ljust(LABEL)
    text = spec.shown(value, lock.units)
    parts = [Content.styled(f"  {label} ", "$quiet"), Content(textwrap.shorten(text, 40))]
    off = fit_word(window, value)
    if off not in ("", "fits"):
        parts.append(Content.styled(f"  {off}", "bold $look"))
    elif beside:
        parts.append(Content.styled(f"  {beside}", "$quiet"))
    return Content.assemble(*parts)


def fit_word(window: Window | None, value: object) -> str:
    """Return whether a value [mm] fits its window, in a word; nothing where there is none."""
    if window is None or not isinstance(value, int | float):
        return ""
    if window.conflict:
        return "nothing fits"
    if window.low is not None and value < window.low.value:
        return "low"
    if window.high is not None and value > window.high.value:
        return "high"
    return "fits"


def fit(
    spec: Spec,
    value: object,
    window: Window | None,
    units: str,
    width: int,
    *,
    set_by: bool = True,
) -> Content:
    """Return what fits at the prompt at hand, and where the value lies between the ends.

    What sets the ends is told with it, unless there is no room for `set_by`.
    """
    hint = Content.styled(spec.kind.hint(spec, units), "$quiet")
    if spec.kind.entering == "picked":
        usual = f"\nUsual: {practised(in_words(spec.usual, units))}" if spec.usual else ""
        return Content.assemble(
            words_to_pick(spec, value, units), "\n", hint, Content.styled(usual, "$quiet")
        )
    if hint.plain:
        return hint
    if window is None or not isinstance(value, int | float):
        told = f"Usual: {spec.usual}" if spec.usual else spec.measure
        told = practised(in_words(told, units)) or f"It takes {spec.allowed_in(units)}."
        return Content.styled(" ".join(filter(None, (told, spec.kind.how))), "$quiet")
    lines = [scale_line(spec, value, window, units, width)]
    for bound in (window.low, window.high):
        if bound is not None and set_by:
            lines.append(Content.styled(_set_by(bound), "$quiet"))
    if spec.kind.how:
        lines.append(Content.styled(spec.kind.how, "$quiet"))
    return Content("\n").join(lines)


def ways(opened: Opened | None, units: str) -> Content:
    """Return what lets something fit at the prompt at hand, each behind its key; nothing where something fits."""
    if opened is None:
        return Content("")
    told = [
        Content.assemble(
            Content.styled(f"{key.upper()} ", "bold $accent"), opening_words(one, units)
        )
        for key, one in zip(WAY_KEYS, opened.found, strict=False)
    ]
    if not told:
        none = "Found no other size, and no two together, that make room here."
        no_way = none if opened.complete else "Looking for room..."
        if opened.clears:
            none = "No one or two sizes clear the stop."
            no_way = none if opened.complete else "Looking for what clears the stop..."
        told = [Content.styled(no_way, "$quiet")]
    return Content("\n").join(told)


def keys_of(opened: Opened | None) -> str:
    """Return the letters that are keys while there is something that lets something fit; none while there is not."""
    if opened is None or not opened.found:
        return ""
    return "".join((*WAY_KEYS[: len(opened.found)], *SEE_WAY.keys))


def words_to_pick(spec: Spec, value: object, units: str) -> Content:
    """Return the words of a choice, the one that stands in brackets."""
    here = spec.written(value, units)
    return Content("").join(
        Content.styled(f"[{word}]", "bold $accent") if word == here else Content(f" {word} ")
        for word in spec.kind.words(spec)
    )


_ENDS = {"low": "least", "high": "most"}


def _set_by(bound: Bound) -> str:
    return f"{_ENDS[bound.end]}: {bound.by}"


def scale_line(spec: Spec, value: float, window: Window, units: str, width: int) -> Content:
    """Return the text scale: low end, where the value lies, high end, and whether it fits."""
    word = fit_word(window, value)
    style = "$fine" if word == "fits" else "bold $look"
    low = spec.shown(window.low.value, units) if window.low else ""
    high = spec.shown(window.high.value, units) if window.high else ""
    if window.conflict:
        return Content.styled(f"nothing fits: at least {low}, at most {high}", style)
    if not (low and high):
        bound = f"at least {low}" if low else f"at most {high}"
        return Content.assemble(
            Content.styled(bound, "$strong"), Content.styled(f"  {word}", style)
        )
    low = low.split(" ")[0] if low.count(" ") == 1 else low  # the unit stands at the most
    room = max(width - len(low) - len(high) - len(word) - 6, 5)
    place = window.place(value)
    place = 0.5 if place is None else place
    bar = list("─" * room)
    before = after = " "
    if place < 0:
        before = "●"
    elif place > 1:
        after = "●"
    else:
        bar[round(place * (room - 1))] = "●"
    return Content.assemble(
        f"{low} {before}├", Content.styled("".join(bar), style), f"┤{after}{high}  ",
        Content.styled(word, style),
    )  # fmt: skip


_SHOWN: dict[str, Callable[[Layout, float], str]] = {
    "length": lambda at, v: show_both(v, at.lock.units),
    "angle": lambda _, v: f"{v:.1f}°",
    "area": lambda at, v: show_area(v, at.lock.units),
    "force": lambda at, v: at.show_force(v),
    "stress": lambda at, v: show_pressure(v, at.lock.units),
    "torque": lambda at, v: at.show_torque(v),
}
"""What writes a result to read off, by its kind."""


def readings(read_off: tuple[ReadOff, ...], lock: Lock) -> Content:
    """Return what there is to read off in a step, one result a line."""
    layout = as_built(layout_of(lock))
    lines = []
    for reading in read_off:
        value = reading.of(layout)
        if value is None:
            continue
        text = "jams" if math.isnan(value) else _SHOWN[reading.kind](layout, value)
        lines.append(
            # what comes out is no prompt: it has its own sign, and no place in the column of values
            Content.assemble(Content.styled(f"  = {reading.label}: {text}", "italic $quiet"))
        )
    return Content("\n").join(lines)


def notice_text(notice: Notice | None, found: Checked | None) -> Content:
    """Return the notice, with what a value outside its window leads to."""
    if notice is None:
        return Content("")
    style = {"bad": "bold $stop", "outside": "bold $look"}.get(notice.kind, "$strong")
    text = notice.text
    if notice.kind == "end":
        return Content.styled(f"{text} {still_to_mend(found)}", style)
    if notice.code and found is not None:
        text += "".join(f" {practised(f.text)}" for f in found.findings if f.code == notice.code)
    return Content.styled(text, style)


def still_to_mend(found: Checked | None) -> str:
    """Return what still stops the lock at the end of the walk, and the one key that goes to the first of it."""
    if found is None or not found.heard:
        return "Looking whether anything stops the lock ..."
    steps = list(dict.fromkeys(f.step for f in found.findings if f.level == "stop"))
    if not steps:
        return "Nothing stops the lock. F2 saves it, F5 turns the key, Ctrl+P prints the sheets."
    return f"What still stops the lock: {listed(steps)}. Enter goes to the first; F2 saves the lock as it is."


def finding_line(finding: Finding) -> Content:
    """Return one finding: its word, the step that mends it, and what it says."""
    return Content.assemble(
        Content.styled(f"{SIGNS[finding.level]} {finding.level}", level_style(finding.level)),
        Content.styled(f"  {finding.step}: ", "$quiet"),
        practised(plain(finding.text)),
    )
