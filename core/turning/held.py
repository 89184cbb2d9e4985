"""What holds a locked bolt, and what knocks it back: a push, a shake, a fall that stops short, a pull on the shackle.

Keys of the report
------------------
`held`: the `metal` of the bolt and its `mass` [g]; for notches as `low` and `high` ends of the lock's own friction the
`push` [N] along it that gets it out of its notch (null: none does), the steady `shake` as a multiple of free fall, and
the `fall` [mm] that ends at once, after which it flies out, null without notches; with the shackle `pulled_by` [N]
what the guides bear, `front` and `rear` [N], up, what friction then `holds` [N] along the bolt, and the slope of a worn
nose from which on it `backs_out` [degrees].
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from core.errors import BadTableError
from core.layout.codes import Code
from core.layout.findings import Finding
from core.layout.layout import Layout, derived
from core.layout.outcomes import Outcome
from core.layout.part import BenchTable, Check
from core.mechanism.knocks import Pulled, fall_that_frees, mass, shaken_loose
from core.parts.bolt_contour import contour
from core.parts.friction import own_friction
from core.parts.guide_places import front_guide, rear_guide
from core.parts.notches import detent
from core.systems import show_grams
from core.tables.metals import all_metals
from core.units import show_angle

KNOCKED_BACK = Code(
    "knocked-back", "note", "detent",
    "Nothing but its notch holds the locked bolt, so a blow along it can knock it back.",
)  # fmt: skip
PULL = 100.0
"""Pull on the shackle [N] for which the push back is told: a strong hand's; common practice, no source."""
DENSITIES = {
    "brass": "free-cutting brass C360",
    "steel": "structural steel S275",
    "bronze": "phosphor bronze C510",
}
"""By the bolt's metal, as the pair of metals names it, the row of `shared/metals.toml` for its density."""


@dataclass(frozen=True)
class Held:
    """What a notch holds a locked bolt with, at the `low` and the `high` end of the lock's own friction.

    The steady `push` [N] along it, the `shake` as a multiple of free fall and the `fall` [mm]; NaN where nothing gets
    it out.
    """

    push: tuple[float, float]
    shake: tuple[float, float]
    fall: tuple[float, float]


def bolt_metal(layout: Layout) -> str:
    """Return the metal of the bolt: the first of the pair that slides on each other."""
    return layout.lock.friction.metals.split(" ")[0]


@derived
def grams(layout: Layout) -> float:
    """Return the mass of the bolt [g], from its contour.

    Raises
    ------
    BadTableError
        For a shipped table without the metal.
    """
    wanted = DENSITIES[bolt_metal(layout)]
    found = [metal.density for metal in all_metals() if metal.name == wanted]
    if not found:
        raise BadTableError(f"The shipped table metals.toml has no {wanted}.")
    cut = abs(contour(layout).signed_area())
    return mass(cut, layout.lock.bolt.thickness, found[0])


@derived
def held(layout: Layout) -> Held | None:
    """Return what the notch holds the bolt with; None without notches."""
    made, own, drag = detent(layout), own_friction(layout), layout.lock.friction.drag
    if made is None:
        return None
    pushes = [float(made.holding(mu, drag)) for mu in (own.low, own.high)]
    works = [float(made.work_to_leave(mu, drag)) for mu in (own.low, own.high)]
    return Held(
        (pushes[0], pushes[1]),
        (shaken_loose(pushes[0], grams(layout)), shaken_loose(pushes[1], grams(layout))),
        (fall_that_frees(works[0], grams(layout)), fall_that_frees(works[1], grams(layout))),
    )


def pulled(layout: Layout) -> Pulled[float]:
    """Return the locked bolt as the pulled shackle pushes it square to its line; the guides bear in their middles."""
    front, rear = front_guide(layout), rear_guide(layout)
    return Pulled(
        at=-abs(layout.lock.shackle.across),
        front=-(front.near + front.far) / 2,
        rear=(rear.near + rear.far) / 2,
    )


def _findings(layout: Layout) -> Iterable[Finding]:
    found, show = held(layout), layout.show
    if found is None:
        return
    yield KNOCKED_BACK.found(
        f"Locked, the bolt is held by its notch alone: a push of {layout.show_force(found.push[0])} along it, a shake "
        f"of {found.shake[0]:.0f} times its weight or a fall of {show(found.fall[0])} that ends at once may move it. A "
        "deeper notch or a stiffer spring holds it harder; a lever that drops into it holds it for good.",
        found.fall[0],
    )  # fmt: skip


def _both(pair: tuple[float, float]) -> dict[str, float | None]:
    low, high = (None if math.isnan(value) else value for value in pair)
    return {"low": low, "high": high}


def _report(layout: Layout) -> Mapping[str, Any]:
    found, own, nose = held(layout), own_friction(layout), pulled(layout)
    front, rear = nose.borne
    return {
        "held": {
            "metal": bolt_metal(layout),
            "mass": grams(layout),
            "push": None if found is None else _both(found.push),
            "shake": None if found is None else _both(found.shake),
            "fall": None if found is None else _both(found.fall),
            "pulled_by": PULL,
            "front": PULL * front,
            "rear": PULL * rear,
            "holds": _both((PULL * nose.holds(own.low), PULL * nose.holds(own.high))),
            "backs_out": _both(
                (math.degrees(nose.backs_out(own.low)), math.degrees(nose.backs_out(own.high)))
            ),
        }
    }


def _bench(layout: Layout) -> Iterable[BenchTable]:
    found, own, show, nose = held(layout), own_friction(layout), layout.show, pulled(layout)

    def ends(pair: tuple[float, float], words: Callable[[float], str]) -> str:
        return " to ".join("no limit" if math.isnan(value) else words(value) for value in pair)

    notch: list[tuple[str, str]] = []
    if found is not None:
        notch = [
            ("a push along it, to leave its notch", ends(found.push, layout.show_force)),
            (
                "a lasting shake along it",
                f"{ends(found.shake, lambda v: f'{v:.0f}')} times its weight",
            ),
            ("a fall that ends at once", ends(found.fall, show)),
        ]
    held_by = (PULL * nose.holds(own.low), PULL * nose.holds(own.high))
    slopes = (math.degrees(nose.backs_out(own.low)), math.degrees(nose.backs_out(own.high)))
    rows = (
        (
            "the bolt weighs",
            f"{show_grams(grams(layout), layout.lock.units)}, {bolt_metal(layout)}",
        ),
        *notch,
        (f"pulled by {layout.show_force(PULL)}, friction holds", ends(held_by, layout.show_force)),
        ("a nose worn slanting backs out from", ends(slopes, show_angle)),
    )
    yield BenchTable("What moves the locked bolt", 43, rows)


def _fall(layout: Layout) -> float | None:
    found = held(layout)
    return None if found is None else found.fall[0]


CHECK = Check(
    "held",
    97,
    codes=(KNOCKED_BACK,),
    findings=_findings,
    outcomes=(Outcome("fall_that_frees", "a fall that frees the bolt", 33, 1, _fall),),
    report=_report,
    bench=_bench,
)
