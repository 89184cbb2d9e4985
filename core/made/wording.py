"""Values and verdicts in a maker's words."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from core.layout.layout import Layout, derived
from core.lock.facts import record_of
from core.lock.lock import spec_of
from core.lock.paths import place_at
from core.made.fitting import KEPT, Fitting, Patch
from core.made.slots import FLOOR, ROOF, lifts
from core.made.strays import Stray
from core.made.verdicts import Moved, Verdict, as_meant, verdicts
from core.made.working import fault
from core.parts.bolt_lies import lies
from core.parts.guide_line import lies_words
from core.parts.tooth import lesser_tooth
from core.text import listed
from core.whole.as_built import built_of

NEAR = 0.05
"""Metal [mm] that is none to speak of."""
NONE = 0.005
"""A way [mm] that is none to speak of."""


def named(path: str) -> str:
    """Return the label of a path, with the guide named where both guides have a value so called."""
    label, table = spec_of(path).label, place_at(path).table
    words = table.replace("_", " ")
    return (
        f"{words}{label.removeprefix('guide')}"
        if table.endswith("_guide") and label.startswith("guide ")
        else label
    )


def shown_at(path: str, value: object, units: str) -> str:
    """Write the value of a path [mm, degrees or N] for reading, lengths in `units`."""
    return spec_of(path).shown(value, units) or "nothing"


def verdict_words(layout: Layout, verdict: Verdict) -> str:
    """Return what becomes of a workpiece, e.g. `as it is: 0.4 mm missing at the roof of the gap`."""
    match verdict.word:
        case "use":
            return "; ".join(("works as it is", *_costs(layout, verdict)))
        case "move" if verdict.back is not None:
            roof = f", and take {_slot_off(layout, verdict.roof)}" if verdict.roof else ""
            return "; ".join(
                (f"fix it {moved_words(layout, verdict.back)}{roof}", *_fault(verdict))
            )
        case "plug":
            return "; ".join(
                (*(stray_words(layout, stray) for stray in verdict.strays), *_fault(verdict))
            )
        case "remake":
            return "; ".join((fitting_words(layout, verdict.apart), *_fault(verdict)))
        case "file" if verdict.slot:
            return "; ".join(_slot_words(layout, verdict))
        case "file" if verdict.roof:  # by itself that does not mend it
            return "; ".join((f"take {_slot_off(layout, verdict.roof)}", *_fault(verdict)))
        case "file":
            return "; ".join((fitting_words(layout, verdict.apart), *_gives(layout, verdict)))
        case _:
            return fitting_words(layout, verdict.apart)


def _slot_words(layout: Layout, verdict: Verdict) -> Iterator[str]:
    """Yield what to file off a guide's slot, what else mends it, what is wrong, and what filing gives."""
    roof = f", and take {_slot_off(layout, verdict.roof)}" if verdict.roof else ""
    back = ""
    if verdict.back is not None:
        back = f", or fix it {moved_words(layout, verdict.back)}{roof}"
    yield f"take {_slot_off(layout, verdict.slot)}{back}"
    yield from _fault(verdict)
    floor = [patch.depth for patch in verdict.slot if patch.where.startswith(FLOOR)]
    if not floor:
        yield "filed, that is gone, and the slot is as high as planned"
    elif (more := lifts(layout.plan, verdict.part, verdict.slot)) > NONE:
        yield f"filed, that is gone, and the leg can lift by {layout.show(more)} more than planned"
    else:
        yield "filed, that is gone"


def _slot_off(layout: Layout, patches: Sequence[Patch]) -> str:
    """Return what to take off floor and roof of a slot, e.g. `0.2 mm off the roof of its slot at its near face`."""
    said = []
    for what in (FLOOR, ROOF):
        there = [p for p in patches if p.where.startswith(what)]
        faces = [
            (layout.show(p.depth), p.where.rpartition(", ")[2]) for p in there if p.depth > NONE
        ]
        off = f"off the {what.removesuffix('the slot')}its slot"
        if len({round(p.depth, 6) for p in there}) == 1 and len(there) == 2:
            said.append(f"{faces[0][0]} {off}")
        elif faces:
            told = [
                f"{deep} {'' if n else f'{off} '}at its {face}"
                for n, (deep, face) in enumerate(faces)
            ]
            said.append(listed(told))
    return ", and ".join(said)


def but_words(layout: Layout, verdict: Verdict) -> str:
    """Return what a good part, measured off its plan within the tolerance, brings the lock to; nothing for nothing.

    Some lock on the edge of what works is brought over it by less than the tolerance.
    """
    known = _buts(layout)
    if verdict.part not in known:
        known[verdict.part] = _but(layout, verdict)
    return known[verdict.part]


@derived
def _buts(_: Layout) -> dict[str, str]:
    """Return what has been told of the good parts of a layout so far."""
    return {}


def _but(layout: Layout, verdict: Verdict) -> str:
    record = record_of(layout.plan, verdict.part)
    if verdict.word != "good" or record is None or not record.measured:
        return ""
    kept = [v.part for v in verdicts(layout) if v.word in KEPT]
    meant = as_meant(layout, [verdict.part])
    wrong = fault(layout, kept, meant)
    if wrong is None or fault(meant, kept, meant) is not None:
        return ""
    return f"good, but with it {wrong[0].lower()}{wrong[1:]}"


def _fault(verdict: Verdict) -> tuple[str, ...]:
    if verdict.fault is None:
        return ()
    first = verdict.fault.split(". ")[0].split("; ")[0]
    return (f"as it is, {first[0].lower()}{first[1:]}",)


def stray_words(layout: Layout, stray: Stray) -> str:
    """Return how a hole stands, and the way out, e.g. `the pivot hole stands 7.0 mm too high: plug it, drill anew`."""
    return f"the {stray.name} stands {off_words(layout, stray)}: {plug_words(layout, stray)}"


def plug_words(layout: Layout, stray: Stray) -> str:
    """Return what filling a stray hole takes, e.g. `plug it, 5.9 mm by 3.61 mm long, and drill anew`."""
    show = layout.show
    cuts = ""
    if stray.web < -NEAR:
        cuts = f", {show(-stray.web)} into the plug"
    elif stray.web < stray.plate - NEAR:
        cuts = f", {show(stray.web)} beside the plug's head"
    if abs(stray.web) <= NEAR:
        cuts = ", right beside the plug's head"
    return f"plug it, {show(stray.plug)} by {show(stray.length)} long, and drill anew{cuts}"


def off_words(layout: Layout, stray: Stray) -> str:
    """Return how far a hole stands off its place, e.g. `7.0 mm too high`, as seen from inside the back plate."""
    up, across = (stray.up, "too high", "too low"), (stray.across, "too far right", "too far left")
    return _way_words(layout, up, across)


def _way_words(layout: Layout, *ways: tuple[float, str, str]) -> str:
    """Return how far something goes each way [mm], with the words for more and for less of it; nothing for no way."""
    said = [
        f"{layout.show(abs(by))} {more if by > 0 else less}"
        for by, more, less in ways
        if abs(by) > NONE
    ]
    return " and ".join(said)


def _costs(layout: Layout, verdict: Verdict) -> Iterator[str]:
    """Yield how a workpiece that works differs from the wanted one, the deepest places first."""
    for stray in verdict.strays:
        anew = f" (or {plug_words(layout, stray)})" if stray.far > stray.hole else ""
        yield f"the {stray.name} stands {off_words(layout, stray)}{anew}"
    if verdict.back is not None:
        back, outer = verdict.back, verdict.back.outer_up
        stands = replace(
            back, across=-back.across, up=-back.up, outer_up=None if outer is None else -outer
        )
        aside = abs(stands.across) > NONE
        yield f"it stands {moved_words(layout, stands)} {'of where it was' if aside else 'than'} planned"
    yield from _lies_so(layout, verdict)
    fitting = verdict.apart
    missing = [patch for patch in fitting.missing if not patch.drilled]
    spare = [patch for patch in fitting.spare if not patch.drilled]
    if missing:
        yield f"with {_places(layout, tuple(missing), ' less than wanted')}"
    if spare:
        yield f"with {_places(layout, tuple(spare), ' more than wanted')}"
    as_it_is, wanted = _drawn(layout, *_beside(layout, verdict), verdict.part), _drawn(layout)
    if abs(as_it_is - wanted) > NEAR:
        yield f"the detent draws {layout.show(as_it_is)} instead of {layout.show(wanted)}"


def _lies_so(layout: Layout, verdict: Verdict) -> Iterator[str]:
    """Yield how the bolt lies in its guides, where this workpiece has a part in it."""
    beside = _beside(layout, verdict)
    here, without = (built_of(layout, parts) for parts in ([*beside, verdict.part], beside))
    if lies(here).line != lies(without).line:
        yield from lies_words(here)


def _gives(layout: Layout, verdict: Verdict) -> Iterator[str]:
    """Yield what is wrong with a workpiece that is to be filed, and what filing it gives."""
    yield from _fault(verdict)
    beside = _beside(layout, verdict)
    as_it_is, filed = _drawn(layout, *beside, verdict.part), _drawn(layout, *beside)
    if abs(as_it_is - filed) > NEAR:
        before = f", not {layout.show(as_it_is)}" if as_it_is > 0 else ""
        yield f"filed, the detent draws {layout.show(filed)}{before}"
    elif verdict.fault is not None:
        yield "filed, that is gone"


def _beside(layout: Layout, verdict: Verdict) -> list[str]:
    """Return the other made parts that stay as they are, such as the key that a bolt was made for."""
    return [v.part for v in verdicts(layout) if v.word in KEPT and v.part != verdict.part]


def _drawn(layout: Layout, *parts: str) -> float:
    """Return how far [mm] the detent draws the bolt home with the made ones of `parts` as they are."""
    return max(lesser_tooth(built_of(layout, parts)).home_travel, 0.0)


def fitting_words(layout: Layout, fitting: Fitting) -> str:
    """Return what is to be done to a workpiece, e.g. `take off 0.3 mm at the roof of the gap`."""
    show = layout.show
    to_file = _places(layout, fitting.spare)
    match fitting.word:
        case "good":
            worst = max(fitting.deepest_spare, fitting.deepest_missing)
            return f"within {show(worst)}" if worst > 0.005 else "as it is"
        case "file":
            return f"take off {to_file}, {layout.show_area(fitting.spare_area, 1)} in all"
        case _:
            said = f"lacks {_places(layout, fitting.missing)}, {layout.show_area(fitting.missing_area, 1)} in all"
            return f"{said}; to take off: {to_file}" if fitting.spare else said


def _places(layout: Layout, patches: tuple[Patch, ...], told: str = "") -> str:
    """Return the deepest two places and how many more there are, with what is `told` of the first one's size."""
    deepest: dict[str, float] = {}
    for patch in patches:
        deepest[patch.where] = max(deepest.get(patch.where, 0.0), patch.depth)
    near, outer = (deepest.get(f"{ROOF}, {end} face") for end in ("near", "outer"))
    if near is not None and near == outer:
        # a slot that is alike from end to end
        kept = {name: depth for name, depth in deepest.items() if not name.startswith(ROOF)}
        deepest = dict(sorted({**kept, ROOF: near}.items(), key=lambda pair: -pair[1]))
    named = [
        f"{layout.show(depth)}{told if number == 0 else ''} at the {where}"
        for number, (where, depth) in enumerate(list(deepest.items())[:2])
    ]
    more = len(deepest) - len(named)
    return f"{', '.join(named)}, and {more} more" if more else ", and ".join(named)


def moved_words(layout: Layout, moved: Moved) -> str:
    """Return which way something moves, e.g. `0.4 mm lower`, as seen from inside the back plate."""
    across = (moved.across, "to the right", "to the left")
    if moved.turned and moved.outer_up is not None:
        ends = (
            (moved.up, "higher at its near face", "lower at its near face"),
            (moved.outer_up, "higher at its outer face", "lower at its outer face"),
        )
        return _way_words(layout, *ends, across)
    return _way_words(layout, (moved.up, "higher", "lower"), across)


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
