"""What the checks say of the workpieces that are made."""

from collections.abc import Iterable, Mapping
from typing import Any

from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Check
from core.lock.facts import facts, measured
from core.lock.lock import spec_of
from core.made.verdict_data import verdict_data
from core.made.verdicts import Verdict, verdicts
from core.made.wording import fitting_words, marks_words, shown_at
from core.text import plain
from core.whole import assembly

_STEP = "made"


def _findings(layout: Layout) -> Iterable[Finding]:
    for verdict in verdicts(layout):
        yield from _verdict_findings(layout, verdict)
    yield from _measured_findings(layout)
    for record in layout.plan.made:
        if record.part not in assembly.workpieces():
            yield Finding(
                "made-unknown", "note", _STEP,
                f"{plain(record.part)} is marked as made, but this program knows no such part.",
            )  # fmt: skip


def _verdict_findings(layout: Layout, verdict: Verdict) -> Iterable[Finding]:
    fitting, tolerance = verdict.fitting, layout.lock.fit.made_tolerance
    name = verdict.name
    if verdict.word == "file":
        yield Finding(
            f"made-file-{verdict.part}".replace("_", "-"), "look", _STEP,
            f"The {name} as made is to be filed: {fitting_words(layout, fitting)}.",
            fitting.deepest_spare, tolerance,
        )  # fmt: skip
    elif verdict.word == "remake":
        yield Finding(
            f"made-remake-{verdict.part}".replace("_", "-"), "look", _STEP,
            f"The {name} as made cannot be filed to the lock as it stands: it "
            f"{fitting_words(layout, fitting)}.",
            fitting.deepest_missing, tolerance,
        )  # fmt: skip
    marks = marks_words(layout, verdict)
    if marks:
        yield Finding(
            f"made-moved-{verdict.part}".replace("_", "-"), "note", _STEP, f"The {name}: {marks}."
        )


def _measured_findings(layout: Layout) -> Iterable[Finding]:
    plan, units, known = layout.plan, layout.plan.units, facts(layout.plan)
    for record, path, value in measured(plan):
        name, label = plain(record.part.replace("_", " ")), spec_of(path).label
        if value != known[path]:
            yield Finding(
                "made-differ", "look", _STEP,
                f"{label} was measured as {shown_at(path, value, units)} on the {name}, but as "
                f"{shown_at(path, known[path], units)} elsewhere, which the checks use.",
            )  # fmt: skip
        elif value != plan.value(path):
            yield Finding(
                "made-measured", "note", _STEP,
                f"{label} was measured as {shown_at(path, value, units)} on the {name}; the plan's "
                f"{shown_at(path, plan.value(path), units)} stands back.",
            )  # fmt: skip


def _report(layout: Layout) -> Mapping[str, Any]:
    """Return the report's `made`: one entry for each workpiece that is marked as made."""
    return {"made": [verdict_data(verdict) for verdict in verdicts(layout)]}


CHECK = Check("made", 95, findings=_findings, report=_report)
