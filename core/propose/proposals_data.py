"""Proposals as data for scripts: `boltwright propose FILE --json`.

Keys, in full precision, lengths in mm, areas in mm2, torques in N mm:

```
{"format": 1, "title":,
 "proposals": [{"kinds": [what it is best at], "values": {path: value}, "margin": room to the nearest limit,
                "limit": what that is, "free": what key and bolt leave inside the wall,
                "torque": most on the key or null, "looks": [codes of findings that want a look],
                "reasons": [sentences]}, ...],
 "refusal": null or {"code": what falls first, "limit": the same in words, "short": by how much it is passed at best,
                     or null where a check of the whole lock stops every one, "text": in a sentence}}
```
"""

from typing import Any

from core.layout.layout import Layout
from core.lock.lock import FORMAT
from core.propose.proposals import Proposals
from core.propose.proposals_text import refusal_words


def proposals_data(layout: Layout, found: Proposals) -> dict[str, Any]:
    """Return proposals in plain lists, dictionaries, numbers and texts, as JSON takes them."""
    refusal = found.refusal
    return {
        "format": FORMAT,
        "title": layout.lock.title,
        "proposals": [
            {
                "kinds": list(one.kinds),
                "values": dict(one.proposal.values),
                "margin": one.margin,
                "limit": one.by,
                "free": one.free,
                "torque": one.torque,
                "looks": [finding.code for finding in one.looks],
                "reasons": list(one.proposal.reasons),
            }
            for one in found.found
        ],
        "refusal": None
        if refusal is None
        else {
            "code": refusal.code,
            "limit": refusal.by,
            "short": None if refusal.told else refusal.short,
            "text": refusal_words(layout, refusal),
        },
    }
