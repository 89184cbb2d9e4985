"""Everything that there is to say of a lock's spread, worked out once: study, worst cases and advice."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from core.layout.layout import Layout
from core.mechanism.filed_parts import FiledParts, Outcomes, come_to
from core.spread.filed_sizes import Plan, plan_of
from core.spread.holding_advice import Cost, Hold, Place, costs, holds, places
from core.spread.study import LOCKS, SEED, Study, study
from core.spread.worst import worst


@dataclass(frozen=True)
class Spreading:
    """A study with what follows from it: `planned` is the lock as it is drawn, `worst` by outcome [mm].

    What is not worked out yet is empty.
    """

    study: Study
    planned: Outcomes[float]
    worst: Mapping[str, float]
    costs: tuple[Cost, ...] = ()
    holds: tuple[Hold, ...] = ()
    places: tuple[Place, ...] = ()


def spreading(layout: Layout, locks: int = LOCKS, seed: int = SEED) -> Iterator[Spreading]:
    """Yield what there is to say of a lock's spread, ever more of it; nothing where the key drives nothing."""
    plan = plan_of(layout)
    if plan is None:
        return
    now = study(plan, layout.lock.spread.law, locks, seed)
    found = Spreading(
        now, as_planned(plan), {each.outcome: worst(plan, each) for each in plan.limits}
    )
    yield found
    dearest = costs(now)
    yield (found := Spreading(now, found.planned, found.worst, dearest))
    units = layout.lock.units
    best = places(now, units)
    yield (found := Spreading(now, found.planned, found.worst, dearest, (), best))
    yield Spreading(
        now, found.planned, found.worst, dearest, tuple(holds(now, dearest, units)), best
    )


def as_planned(plan: Plan) -> Outcomes[float]:
    """Return what the lock comes to whose sizes are all just as planned."""
    return come_to(FiledParts(*(size.plan for size in plan.sizes)), plan.drawn)
