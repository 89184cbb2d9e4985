"""What the checks say of the workpieces that are made."""

from collections.abc import Iterable, Mapping
from typing import Any

from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Check
from core.lock.facts import facts, measured
from core.lock.lock import spec_of
from core.made.verdict_data import verdict_data
from core.made.verdicts import Verdict, verdicts
from core.made.wording import marks_words, shown_at, verdict_words
from core.text import plain
from core.whole import assembly

STEP = "made"
"""What findings call the place where made parts are looked at: a screen of its own, not one of the steps."""
MADE_FILE = Family(
    "made-file-{}", "look", STEP, "The {} has metal where the lock now wants none; a file takes it off."
)  # fmt: skip
MADE_REMAKE = Family(
    "made-remake-{}", "look", STEP,
    "The {} lacks metal that the lock now wants, and no file puts it back.",
)  # fmt: skip
MADE_USE = Family(
    "made-use-{}", "note", STEP,
    "The {} is not as it is wanted, but with it as it is the lock does all that it has to.",
)  # fmt: skip
MADE_PLUG = Family(
    "made-plug-{}", "look", STEP,
    "A hole in the {} stands where it cannot stay; it can be plugged and drilled anew, and the plate is saved.",
)  # fmt: skip
MADE_MOVE = Family(
    "made-move-{}", "look", STEP,
    "The {} stands where the lock does not work with it; back in its own place it is as good as before.",
)  # fmt: skip
MADE_MOVED = Family(
    "made-moved-{}", "note", STEP,
    "The {}, or something scribed on it, now belongs in another place; no metal is lost by that.",
)  # fmt: skip
MADE_DIFFER = Code(
    "made-differ", "look", STEP,
    "One dimension was measured on two parts with two results, so one of the parts is off, or one was misread.",
)  # fmt: skip
MADE_MEASURED = Code(
    "made-measured", "note", STEP,
    "What was measured counts before what was planned: checks, drawings and sheets all go by it.",
)  # fmt: skip
MADE_UNKNOWN = Code(
    "made-unknown", "note", STEP,
    "The file names a made part that there is none of: mistyped, or of a newer program; it is kept, not checked.",
)  # fmt: skip


def _of_each_workpiece() -> Iterable[Code]:
    for piece in assembly.workpieces().values():
        yield from (MADE_FILE.of(piece.name), MADE_REMAKE.of(piece.name))
        if piece.tried:
            yield MADE_USE.of(piece.name)
        if piece.carries:
            yield MADE_PLUG.of(piece.name)
        if piece.placed_by and piece.tried and not piece.carries:
            yield MADE_MOVE.of(piece.name)
        if piece.placed_by:
            yield MADE_MOVED.of(piece.name)


def _findings(layout: Layout) -> Iterable[Finding]:
    for verdict in verdicts(layout):
        yield from _verdict_findings(layout, verdict)
    yield from _measured_findings(layout)
    for record in layout.plan.made:
        if record.part not in assembly.workpieces():
            yield MADE_UNKNOWN.found(
                f"{plain(record.part)} is marked as made, but this program knows no such part."
            )


def _verdict_findings(layout: Layout, verdict: Verdict) -> Iterable[Finding]:
    fitting, tolerance = verdict.apart, layout.lock.fit.made_tolerance
    name = verdict.name
    if verdict.word == "use":
        yield MADE_USE.of(name).found(f"The {name} {verdict_words(layout, verdict)}.")
    elif verdict.word == "move" and verdict.back is not None:
        yield MADE_MOVE.of(name).found(
            f"The {name}: {verdict_words(layout, verdict)}.", verdict.back.far, tolerance
        )
    elif verdict.word == "plug":
        worst = max(stray.far for stray in verdict.strays)
        yield MADE_PLUG.of(name).found(
            f"The {name}: {verdict_words(layout, verdict)}.", worst, tolerance
        )
    elif verdict.word == "file":
        yield MADE_FILE.of(name).found(
            f"The {name} as made is to be filed: {verdict_words(layout, verdict)}.",
            max([fitting.deepest_spare, *(patch.depth for patch in verdict.slot)]), tolerance,
        )  # fmt: skip
    elif verdict.word == "remake":
        yield MADE_REMAKE.of(name).found(
            f"The {name} as made cannot be filed to the lock as it stands: it "
            f"{verdict_words(layout, verdict)}.",
            fitting.deepest_missing, tolerance,
        )  # fmt: skip
    marks = marks_words(layout, verdict)
    if marks:
        yield MADE_MOVED.of(name).found(f"The {name}: {marks}.")


def _measured_findings(layout: Layout) -> Iterable[Finding]:
    plan, units, known = layout.plan, layout.plan.units, facts(layout.plan)
    for record, path, value in measured(plan):
        name, label = plain(record.part.replace("_", " ")), spec_of(path).label
        if value != known.get(path, value):
            yield MADE_DIFFER.found(
                f"Measured on the {name}: {label} {shown_at(path, value, units)}, but "
                f"{shown_at(path, known[path], units)} elsewhere, which the checks use.",
            )  # fmt: skip
        elif value != plan.value(path):
            yield MADE_MEASURED.found(
                f"Measured on the {name}: {label} {shown_at(path, value, units)}"
                f"{f' ({told})' if (told := record.told(path)) else ''}; the plan's "
                f"{shown_at(path, plan.value(path), units)} does not count while that stands.",
            )  # fmt: skip


def _report(layout: Layout) -> Mapping[str, Any]:
    """Return the report's `made`: one entry for each workpiece that is marked as made."""
    return {"made": [verdict_data(verdict) for verdict in verdicts(layout)]}


CHECK = Check(
    "made parts",
    95,
    codes=(MADE_DIFFER, MADE_MEASURED, MADE_UNKNOWN),
    family=_of_each_workpiece,
    findings=_findings,
    report=_report,
    of_plan=True,
)
