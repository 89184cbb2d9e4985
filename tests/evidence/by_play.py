"""Play and the budget of the detent: a turning bit on a flank moved as play moves it, and the way in by the sweep."""

import math

from shapely.affinity import translate
from shapely.geometry import LineString, Point

from tests.config_space import outline, rig_of, shut_out
from tests.evidence.cases import Case, Found, Judge
from tests.met_ends import leaning, pushed


def _play(case: Case) -> Found:
    lock, said = case.lock, case.said["play"]
    if said is None or case.tooth.on_relief == 0 or lock.made:
        return
    slide = lock.fit.slide_clearance
    loose = max(lock.pivot.hole - lock.key.shank, 0.0) / 2
    lean = leaning(lock)
    yield "play.shank", said["shank"], loose
    yield "play.slide", said["slide"], slide
    yield "play.tilt", said["tilt"], math.degrees(lean)
    wanted = {
        "shank": pushed(lock, away=loose), "raised": pushed(lock, up=slide), "dropped": pushed(lock, up=-slide),
        "tilted": min(pushed(lock, lean=lean, way=way) for way in (1, -1)),
        "tilted_back": max(pushed(lock, lean=-lean, way=way) for way in (1, -1)),
    }  # fmt: skip
    yield from (
        (f"play.driven.{name}", said["driven"][name], found) for name, found in wanted.items()
    )
    relief = lock.key.radius + lock.fit.key_clearance
    roof = LineString([(-1.0, relief), (1.0, relief)])
    for name, pivot, up in (("shank", (0.0, loose), 0.0), ("dropped", (0.0, 0.0), -slide)):
        left = translate(roof, 0.0, up).distance(Point(pivot)) - lock.key.radius
        yield f"play.clearance.{name}", said["clearance"][name], left
    left, budget = case.throw - case.tooth.driven, case.said["home_budget"]
    cost = {name: case.tooth.driven - wanted[name] for name in ("shank", "raised", "tilted")}
    yield "home_budget.laid_out", budget["laid_out"], left
    yield from (
        (f"home_budget.{name}", budget[name], max(found, 0.0)) for name, found in cost.items()
    )
    # in guides that are in line
    yield "home_budget.both", budget["both"], max(cost["raised"], cost["tilted"], 0.0)
    yield (
        "home_budget.most",
        budget["most"],
        left + cost["shank"] + max(cost["raised"], cost["tilted"], 0.0),
    )


def _let_in(case: Case) -> Found:
    """The bit coming in, the bolt moved up and down as a whole, or the pivot moved away."""
    lock, said = case.lock, case.said["play"]
    if (
        said is None
        or lock.made
        or any(f["code"] == "key-fouls-bolt" for f in case.said["findings"])
    ):
        return
    bolt, slide = outline(case.layout), lock.fit.slide_clearance
    for name, up in (("raised", slide), ("dropped", -slide)):
        rig = rig_of(case.layout, bolt=translate(bolt, 0.0, up))
        if said["shut_out"][name] > 0:
            yield f"play.shut_out.{name}", said["shut_out"][name], shut_out(rig, "unlocking", 8.0)
    if said["shut_out"]["shank"] > 0:
        ways = (rig_of(case.layout, pivot=(way * said["shank"], 0.0)) for way in (1, -1))
        yield (
            "play.shut_out.shank",
            said["shut_out"]["shank"],
            min(shut_out(rig, "unlocking", 8.0) for rig in ways),
        )


def _draws(case: Case) -> Found:
    """What the detent draws: as it was felt or measured; by notches the number that is judged with them."""
    budget, lock = case.said["home_budget"], case.lock
    if budget is not None and lock.detent.kind == "as felt":
        yield "home_budget.draws", budget["draws"], lock.fit.detent_capture


JUDGES = (
    Judge(
        "play", "a fine turn of the bit on a flank raised, or tilted by halving in its slots, or on a pivot that gives",
        "plane geometry by complex numbers, shapely; the design's page of the mechanism for foot and flank",
        ("play.shank", "play.slide", "play.tilt", "play.driven.*", "play.clearance.*", "home_budget.laid_out",
         "home_budget.shank", "home_budget.raised", "home_budget.tilted", "home_budget.both",
         "home_budget.most"), _play,
    ),
    Judge(
        "let in", "the bit coming in by the sweep, bolt or pivot moved", "`tests/config_space.py`",
        ("play.shut_out.*",), _let_in,
    ),
    Judge("felt reach", "what was typed of the detent", "the lock's own value", ("home_budget.draws",), _draws),
)  # fmt: skip
