"""The spread of a lock as data for scripts: `boltwright spread FILE --json`.

Keys, in full precision, lengths in mm, shares from 0 to 1; `share` is null, and lists are empty, where the key drives
nothing:

```
{"format": 1, "title":, "locks": how many, "seed":, "law": "anywhere" | "mostly near", "share": that works,
 "sizes": [{"name":, "plan":, "plus_minus":, "cost": by how much more would work, were it as planned,
            "variance": its part in that of what is left to the tightest limit}, ...],
 "outcomes": [{"name":, "planned":, "mean":, "deviation":, "worst":, "limit": {"least":} or {"most":},
               "fail": share, "histogram": {"edges": [...], "counts": [...]}}, ...],
 "tightest": name of an outcome,
 "hold": [{"held": [names], "to": null for none, "rest":, "share":}, ...],
 "place": [{"sizes": [names], "by":, "share":}, ...]}
```
"""

from typing import Any

from core.layout.layout import Layout
from core.lock.lock import FORMAT
from core.spread.filed_sizes import Limit
from core.spread.whole import Spreading


def spread_data(layout: Layout, found: Spreading | None, locks: int, seed: int) -> dict[str, Any]:
    """Return the spread in plain lists, dictionaries, numbers and texts, as JSON takes them."""
    head = {
        "format": FORMAT, "title": layout.lock.title, "locks": locks, "seed": seed, "law": layout.lock.spread.law,
    }  # fmt: skip
    if found is None:
        empty: dict[str, Any] = {name: [] for name in ("sizes", "outcomes", "hold", "place")}
        return {**head, "share": None, "tightest": None, **empty}
    cost = {each.size.name: each for each in found.costs}
    return {
        **head,
        "share": found.study.share,
        "tightest": found.study.tightest.outcome,
        "sizes": [
            {
                "name": size.name,
                "plan": size.plan,
                "plus_minus": size.plus_minus,
                "cost": cost[size.name].share if size.name in cost else 0.0,
                "variance": cost[size.name].part if size.name in cost else 0.0,
            }
            for size in found.study.plan.sizes
        ],
        "outcomes": [_outcome(found, limit) for limit in found.study.plan.limits],
        "hold": [
            {
                "held": [size.name for size in hold.held],
                "to": hold.to if hold.held else None,
                "rest": hold.rest,
                "share": hold.share,
            }
            for hold in found.holds
        ],
        "place": [
            {"sizes": list(place.sizes), "by": place.by, "share": place.share}
            for place in found.places
        ],
    }


def _outcome(found: Spreading, limit: Limit) -> dict[str, Any]:
    values = getattr(found.study.found, limit.outcome)
    edges, counts = found.study.histogram(limit.outcome)
    return {
        "name": limit.outcome,
        "planned": float(getattr(found.planned, limit.outcome)),
        "mean": float(values.mean()),
        "deviation": float(values.std()),
        "worst": found.worst[limit.outcome],
        "limit": {"least" if limit.way > 0 else "most": limit.value},
        "fail": found.study.fails[limit.outcome],
        "histogram": {"edges": edges.tolist(), "counts": counts.tolist()},
    }
