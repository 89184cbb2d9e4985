"""A comparison as data for scripts: `boltwright compare OLD NEW --json`.

Keys, in full precision, lengths in mm, areas in mm2, angles in degrees:

```
{"format": 1,
 "old": {"title":, "stop": whether it has a stop finding}, "new": {...},
 "changed": [{"path":, "old":, "new":}, ...],
 "outcomes": [{"name":, "unit": "mm" | "mm2" | "degrees" | "N mm" | null, "old": number or null, "new":,
               "trend": "worse" | "better" | "other"}, ...],
 "findings": {"came": [finding, ...], "went": [finding, ...],
              "stayed": [{"old": finding, "new": finding, "trend":}, ...]},
 "windows": [{"path":, "old": {"value":, "low":, "high":, "fits":}, "new": {...}}, ...],
 "worse": [{"kind": "finding", "code":} | {"kind": "window", "path":} | {"kind": "outcome", "name":}, ...],
 "contours": {"old": the bolt's contour as in the report, "new":},
 "made": [{"part":, "verdict": "good" | "file" | "remake", "file": [{"where":, "depth":, "area":, "at":}, ...],
           "file_depth":, "file_area":, "missing": [...], "missing_depth":, "missing_area":,
           "moved": null or {"what":, "across":, "up":}, "scribe": [...]}, ...]}
```

What stands in a row that only one of the locks has, such as a post, is null in the other. A finding has the
keys of the report; `worse` names what got worse, the worst first; `made` has one entry for
each part that is marked as made in the new lock, with patches in the part's own frame.
"""

from typing import Any

from core.change.comparison import Comparison, FindingChange, OutcomeChange, WindowChange
from core.checks import gathered
from core.layout.findings import worst
from core.layout.layout import Layout
from core.layout.path_data import path_as_data
from core.layout.windows import Window
from core.lock.lock import FORMAT
from core.made.verdict_data import verdict_data

_UNITS = {"length": "mm", "area": "mm2", "angle": "degrees", "torque": "N mm", "ratio": None}


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison in plain lists, dictionaries, numbers and texts, as JSON takes them."""
    old, new = comparison.contours
    return {
        "format": FORMAT,
        "old": _side(comparison.old),
        "new": _side(comparison.new),
        "changed": [{"path": c.path, "old": c.old, "new": c.new} for c in comparison.changed],
        "outcomes": [_outcome(change) for change in comparison.outcomes],
        "findings": {
            "came": [finding.as_data() for finding in comparison.came],
            "went": [finding.as_data() for finding in comparison.went],
            "stayed": [_stayed(change) for change in comparison.stayed],
        },
        "windows": [_window_change(change) for change in comparison.windows],
        "worse": [_worse(change) for change in comparison.worse],
        "contours": {"old": path_as_data(old), "new": path_as_data(new)},
        "made": [verdict_data(verdict) for verdict in comparison.made],
    }


def _side(layout: Layout) -> dict[str, Any]:
    return {"title": layout.lock.title, "stop": worst(gathered.findings(layout)) == "stop"}


def _outcome(change: OutcomeChange) -> dict[str, Any]:
    return {
        "name": change.outcome.name,
        "unit": _UNITS[change.outcome.kind],
        "old": change.old,
        "new": change.new,
        "trend": change.trend,
    }


def _stayed(change: FindingChange) -> dict[str, Any]:
    sides = {"old": change.old, "new": change.new}
    data = {side: None if finding is None else finding.as_data() for side, finding in sides.items()}
    return {**data, "trend": change.trend}


def _window_change(change: WindowChange) -> dict[str, Any]:
    return {
        "path": change.path,
        "old": _window(change.old, change.old_value, fits=change.old_fits),
        "new": _window(change.new, change.new_value, fits=change.new_fits),
    }


def _window(window: Window | None, value: float | None, *, fits: bool) -> dict[str, Any]:
    low = window.low.value if window and window.low else None
    high = window.high.value if window and window.high else None
    return {"value": value, "low": low, "high": high, "fits": fits}


def _worse(change: FindingChange | OutcomeChange | WindowChange) -> dict[str, Any]:
    match change:
        case OutcomeChange():
            return {"kind": "outcome", "name": change.outcome.name}
        case WindowChange():
            return {"kind": "window", "path": change.path}
        case _:
            return {"kind": "finding", "code": change.new.code if change.new else None}
