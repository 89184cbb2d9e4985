"""Values and verdicts in a maker's words."""

from core.layout.layout import Layout
from core.lock.lock import spec_of
from core.made.fitting import Fitting, Patch
from core.made.verdicts import Moved, Verdict


def shown_at(path: str, value: object, units: str) -> str:
    """Write the value of a path [mm, degrees or N] for reading, lengths in `units`."""
    return spec_of(path).shown(value, units) or "nothing"


def fitting_words(layout: Layout, fitting: Fitting) -> str:
    """Return what is to be done to a workpiece, e.g. `take off 0.3 mm at the roof of the gap`."""
    show = layout.show
    to_file = _places(layout, fitting.spare)
    match fitting.word:
        case "good":
            worst = max(fitting.deepest_spare, fitting.deepest_missing)
            return f"within {show(worst)}" if worst > 0.005 else "as it is"
        case "file":
            return f"take off {to_file}, {fitting.spare_area:.1f} mm2 in all"
        case _:
            said = (
                f"lacks {_places(layout, fitting.missing)}, {fitting.missing_area:.1f} mm2 in all"
            )
            if all(patch.drilled for patch in fitting.missing):
                said += ", unless the hole is plugged and drilled anew"
            return f"{said}; to take off: {to_file}" if fitting.spare else said


def _places(layout: Layout, patches: tuple[Patch, ...]) -> str:
    """Return the deepest two places and how many more there are."""
    deepest: dict[str, float] = {}
    for patch in patches:
        deepest[patch.where] = max(deepest.get(patch.where, 0.0), patch.depth)
    named = [f"{layout.show(depth)} at the {where}" for where, depth in list(deepest.items())[:2]]
    more = len(deepest) - len(named)
    return ", ".join(named) + (f" and {more} more" if more else "")


def moved_words(layout: Layout, moved: Moved) -> str:
    """Return which way something moves, e.g. `0.4 mm lower`, as seen from inside the back plate."""
    ways = (
        (moved.up, "higher", "lower"),
        (moved.across, "to the right", "to the left"),
    )
    said = [
        f"{layout.show(abs(by))} {more if by > 0 else less}"
        for by, more, less in ways
        if abs(by) > 0.005
    ]
    return " and ".join(said)


def marks_words(layout: Layout, verdict: Verdict) -> str:
    """Return what is to be fixed elsewhere or scribed again, nothing where all stays."""
    said = []
    if verdict.moved is not None:
        said.append(f"fix it {moved_words(layout, verdict.moved)}")
    if verdict.scribe:
        first = max(verdict.scribe, key=lambda moved: moved.far)
        ways = {moved_words(layout, moved) for moved in verdict.scribe}
        if len(ways) == 1:
            what = f"{first.name}" if len(verdict.scribe) == 1 else f"{len(verdict.scribe)} marks"
            said.append(f"scribe {what} again {ways.pop()}")
        else:
            said.append(
                f"scribe {len(verdict.scribe)} marks again, by up to {layout.show(first.far)}"
            )
    return "; ".join(said)
