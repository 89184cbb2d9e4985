"""What its maker does not make: thinner than is filed, a key larger than is made, clearances in which nothing moves."""

import math
from collections.abc import Iterable

from core.layout.codes import Code, Family
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.layout.part import Part
from core.layout.size_limits import Limit, Way
from core.layout.windows import Bound
from core.lock.fields import SOURCE_NONE
from core.parts.size_ends import size_bounds

LEAST_PLAY = 0.01
"""Clearance [mm] below which nothing slides by hand; common practice, no source."""
THIN = Family("{}-thin", "stop", "{}", "The {} is thinner than you file, and may bend or break.")
OF_BOLT = Family(
    "{}-thin", "stop", "bolt", "The {} is thinner than you file, and may bend or break."
)
KEY_TOO_LARGE = Code(
    "key-too-large", "stop", "key radius", "The key would be beyond the largest that you make."
)
KEY_CLEARANCE_SMALL = Code(
    "key-clearance-small", "stop", "fit",
    "In its guides the bolt moves up and down by the slide clearance; with less round the key's circle the bit rubs.",
)  # fmt: skip
SLIDE_CLEARANCE_NONE = Code(
    "slide-clearance-none", "stop", "fit", "A leg that fills its guide does not slide in it."
)


def _thin(path: str, code: Code, what: str, words: str) -> Limit:
    """Return what holds the size at a path against the least that is filed."""

    def said(layout: Layout) -> tuple[str, float, float]:
        size, least = float(layout.lock.value(path)), layout.lock.fit.metal_min
        return (
            f"{what} is {layout.show(size)}; {layout.show(least)} is the thinnest that you file.",
            size,
            least,
        )

    def ways(layout: Layout) -> Iterable[Way]:
        yield Way(path, "low", layout.lock.fit.metal_min, words)

    return Limit(
        code, "the least metal", lambda at: float(at.lock.value(path)) - at.lock.fit.metal_min, said, ways
    )  # fmt: skip


def _large_spare(layout: Layout) -> float:
    most = layout.lock.fit.key_max
    return most - layout.lock.key.radius if most > 0 else math.inf


def _large_said(layout: Layout) -> tuple[str, float, float]:
    radius, most, show = layout.lock.key.radius, layout.lock.fit.key_max, layout.show
    return (
        f"The key's radius is {show(radius)}; {show(most)} is the largest that you make.",
        radius,
        most,
    )


def _large_ways(layout: Layout) -> Iterable[Way]:
    yield Way("key.radius", "high", layout.lock.fit.key_max, "a key radius of {}")


def _key_least(layout: Layout) -> float:
    return max(layout.lock.fit.slide_clearance, LEAST_PLAY)


def _key_said(layout: Layout) -> tuple[str, float, float]:
    clear, slide, least = (
        layout.lock.fit.key_clearance,
        layout.lock.fit.slide_clearance,
        _key_least(layout),
    )
    why = f"the bolt has {layout.show(slide)} up and down in its guides"
    if slide < LEAST_PLAY:
        why = f"below {layout.show(LEAST_PLAY)} nothing turns freely ({SOURCE_NONE})"
    return f"The key's circle is kept {layout.show(clear)} clear of the bolt; {why}.", clear, least


def _key_ways(layout: Layout) -> Iterable[Way]:
    clear = layout.lock.fit.key_clearance
    yield Way("fit.key_clearance", "low", _key_least(layout), "a key clearance of {}")
    if clear >= LEAST_PLAY:
        yield Way("fit.slide_clearance", "high", clear, "a slide clearance of {}")


def _slide_said(layout: Layout) -> tuple[str, float, float]:
    slide, show = layout.lock.fit.slide_clearance, layout.show
    text = f"The bolt has {show(slide)} of play on each side in its guides; below {show(LEAST_PLAY)} it does not slide"
    return f"{text} ({SOURCE_NONE}).", slide, LEAST_PLAY


def _slide_ways(_: Layout) -> Iterable[Way]:
    yield Way("fit.slide_clearance", "low", LEAST_PLAY, "a slide clearance of {}")


_GUIDES = tuple(
    _thin(
        f"{name.replace(' ', '_')}.{size}",
        THIN.of(name),
        f"The {what} of the {name}",
        f"a {what} of {{}}",
    )
    for name in ("front guide", "rear guide")
    for size, what in (("width", "width"), ("floor", "floor"))
)
LIMITS = (
    *_GUIDES,
    _thin("bolt.lobe_width", OF_BOLT.of("lobe"), "The width of a lobe", "a lobe {} wide"),
    _thin("bolt.nose_height", OF_BOLT.of("nose"), "The height of the nose", "a nose {} high"),
    _thin("bolt.tail_height", OF_BOLT.of("tail"), "The height of the tail", "a tail {} high"),
    _thin("bolt.thickness", OF_BOLT.of("bolt"), "The thickness of the bolt", "a bolt {} thick"),
    Limit(KEY_TOO_LARGE, "the largest key", _large_spare, _large_said, _large_ways),
    Limit(
        KEY_CLEARANCE_SMALL, "the bolt's play in its guides",
        lambda at: at.lock.fit.key_clearance - _key_least(at), _key_said, _key_ways,
    ),
    Limit(
        SLIDE_CLEARANCE_NONE, "the least that slides",
        lambda at: at.lock.fit.slide_clearance - LEAST_PLAY, _slide_said, _slide_ways,
    ),
)  # fmt: skip


def _findings(layout: Layout) -> Iterable[Finding]:
    for limit in LIMITS:
        yield from limit.findings(layout)


def _bounds(layout: Layout) -> Iterable[Bound]:
    for limit in LIMITS:
        yield from limit.bounds(layout)
    yield from size_bounds(layout)


PART = Part(
    "least sizes",
    75,
    codes=tuple({limit.code.name: limit.code for limit in LIMITS}.values()),
    findings=_findings,
    bounds=_bounds,
)
