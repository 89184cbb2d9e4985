"""The catch: the eye or notch by which the nose holds the shackle's end, and the metal that is left round it."""

import math
from collections.abc import Iterable

from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.outcomes import Outcome
from core.layout.part import Part
from core.layout.size_limits import Limit, Way
from core.layout.windows import Bound
from core.lock.fields import SOURCE_NONE
from core.mechanism.circle_segments import eye_lip_area, notch_lip_area
from core.parts.bolt_contour import notch_depth

CHEEKS_THIN = Code(
    "cheeks-thin", "stop", "shackle",
    "The eye is as wide as the bolt is thick, and the cheeks beside it are all that holds the end on.",
)  # fmt: skip
LIP_NONE = Code(
    "lip-none", "stop", "shackle",
    "Below the nose there is no metal to speak of, so nothing holds the shackle when it is pulled.",
)  # fmt: skip
LIP_THIN = Code(
    "lip-thin", "look", "shackle",
    "The lip below the nose takes the pull on the shackle, and shears before the nose does.",
)  # fmt: skip
NOSE_GAP_SMALL = Code(
    "nose-gap-small", "stop", "shackle",
    "Unlocked, the nose still stands in the way of the shackle's end, which then does not come out.",
)  # fmt: skip


def eye_width(layout: Layout) -> float:
    """Return the width of an eye [mm]: the bolt's thickness and the slide clearance on each side."""
    return layout.lock.bolt.thickness + 2 * layout.lock.fit.slide_clearance


def cheek(layout: Layout) -> float:
    """Return the thickness [mm] of the end on either side of an eye at its middle; less than 0 for an eye too wide."""
    return (layout.lock.shackle.diameter - eye_width(layout)) / 2


def lip(layout: Layout) -> float:
    """Return the height [mm] of the end's metal below the nose and its clearance."""
    lock = layout.lock
    return lock.shackle.drop - lock.bolt.nose_height - lock.fit.slide_clearance


def lip_area(layout: Layout, high: float) -> float:
    """Return the area [mm2] that shears when the nose breaks out over a lip so `high` [mm]."""
    lock = layout.lock
    radius = lock.shackle.diameter / 2
    if lock.shackle.catch == "eye":
        return float(eye_lip_area(radius, eye_width(layout), high))
    return float(notch_lip_area(radius, notch_depth(lock), high))


def nose_area(layout: Layout) -> float:
    """Return the section [mm2] of the nose, which the same pull shears."""
    return layout.lock.bolt.thickness * layout.lock.bolt.nose_height


def least_drop(layout: Layout) -> float:
    """Return the least reach [mm] below the bolt line: nose, clearance, and a lip that shears no sooner than the nose.

    And no thinner than the maker files; where nothing is left round eye or notch that alone.
    """
    lock, each = layout.lock, lip_area(layout, 1.0)
    least = nose_area(layout) / each if each > 0 else 0.0
    return lock.bolt.nose_height + lock.fit.slide_clearance + max(least, lock.fit.metal_min)


def _cheek_spare(layout: Layout) -> float:
    eye = layout.lock.shackle.catch == "eye"
    return cheek(layout) - layout.lock.fit.metal_min if eye else math.inf


def _cheek_said(layout: Layout) -> tuple[str, float, float]:
    lock, show, left = layout.lock, layout.show, cheek(layout)
    wide, bar = show(eye_width(layout)), show(lock.shackle.diameter)
    text = f"Beside an eye {wide} wide the cheeks of an end {bar} across are {show(left)} thick; {{}} is the least."
    if left <= 0:
        text = f"An eye {wide} wide for the bolt's thickness cuts through an end {bar} across; cheeks are to be {{}}."
    return text.format(show(lock.fit.metal_min)), left, lock.fit.metal_min


def _cheek_ways(layout: Layout) -> Iterable[Way]:
    lock = layout.lock
    bar, least, slide = lock.shackle.diameter, lock.fit.metal_min, lock.fit.slide_clearance
    yield Way("bolt.thickness", "high", bar - 2 * least - 2 * slide, "a bolt {} thick")
    yield Way("shackle.diameter", "low", eye_width(layout) + 2 * least, "an end {} across")
    yield Way(
        "fit.slide_clearance",
        "high",
        (bar - lock.bolt.thickness) / 2 - least,
        "a slide clearance of {}",
    )


def _none_spare(layout: Layout) -> float:
    return lip(layout) - layout.lock.fit.metal_min


def _none_said(layout: Layout) -> tuple[str, float, float]:
    lock, show, left = layout.lock, layout.show, lip(layout)
    least = show(lock.fit.metal_min)
    text = f"Below the nose and its clearance {show(left)} is left of the shackle's end; {least} is the least."
    if left <= 0:
        text = (
            f"The shackle's end reaches {show(lock.shackle.drop)} below the bolt line, nose and clearance reach "
            f"{show(-left)} farther: no metal is below them."
        )
    return text, left, lock.fit.metal_min


def _none_ways(layout: Layout) -> Iterable[Way]:
    lock, least = layout.lock, layout.lock.fit.metal_min
    nose, slide = lock.bolt.nose_height, lock.fit.slide_clearance
    yield Way("shackle.drop", "low", nose + slide + least, "an end {} below the line")
    yield Way("bolt.nose_height", "high", lock.shackle.drop - slide - least, "a nose {} high")
    yield Way(
        "fit.slide_clearance", "high", lock.shackle.drop - nose - least, "a slide clearance of {}"
    )


def _lip_spare(layout: Layout) -> float:
    none = _none_spare(layout) < 0 or lip_area(layout, 1.0) <= 0
    return math.inf if none else lip_area(layout, lip(layout)) - nose_area(layout)


def _lip_said(layout: Layout) -> tuple[str, float, float]:
    area, nose = lip_area(layout, lip(layout)), nose_area(layout)
    text = (
        f"The lip below the nose shears over {layout.show_area(area)}, the nose itself over {layout.show_area(nose)}: "
        f"of one metal the lip gives first ({SOURCE_NONE})."
    )
    return text, area, nose


def _lip_ways(layout: Layout) -> Iterable[Way]:
    lock, each = layout.lock, lip_area(layout, 1.0)
    yield Way("shackle.drop", "low", least_drop(layout), "an end {} below the line")
    high = (lock.shackle.drop - lock.fit.slide_clearance) * each / (each + lock.bolt.thickness)
    yield Way("bolt.nose_height", "high", high, "a nose {} high")


def _gap_spare(layout: Layout) -> float:
    return layout.lock.shackle.gap - layout.lock.fit.slide_clearance


def _gap_said(layout: Layout) -> tuple[str, float, float]:
    gap, slide, show = layout.lock.shackle.gap, layout.lock.fit.slide_clearance, layout.show
    text = f"Unlocked, the nose is {show(gap)} clear of the shackle; the slide clearance, {show(slide)}, is the least."
    return text, gap, slide


def _gap_ways(layout: Layout) -> Iterable[Way]:
    yield Way("shackle.gap", "low", layout.lock.fit.slide_clearance, "a nose clearance of {}")
    yield Way("fit.slide_clearance", "high", layout.lock.shackle.gap, "a slide clearance of {}")


LIMITS = (
    Limit(CHEEKS_THIN, "the cheeks of the eye", _cheek_spare, _cheek_said, _cheek_ways),
    Limit(LIP_NONE, "the least metal below the nose", _none_spare, _none_said, _none_ways),
    Limit(LIP_THIN, "nose, clearance and a lip as strong", _lip_spare, _lip_said, _lip_ways),
    Limit(NOSE_GAP_SMALL, "nose and shackle clear of each other", _gap_spare, _gap_said, _gap_ways),
)


def _findings(layout: Layout) -> Iterable[Finding]:
    for limit in LIMITS:
        yield from limit.findings(layout)


def _bounds(layout: Layout) -> Iterable[Bound]:
    for limit in LIMITS:
        yield from limit.bounds(layout)


PART = Part(
    "catch",
    81,
    codes=tuple(limit.code for limit in LIMITS),
    findings=_findings,
    bounds=_bounds,
    outcomes=(
        Outcome(
            "lip_spare", "shackle's lip beyond the least", 120, 1,
            lambda at: at.lock.shackle.drop - least_drop(at),
        ),
    ),
)  # fmt: skip
