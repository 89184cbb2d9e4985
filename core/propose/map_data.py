"""The map as data for scripts: `boltwright map FILE --json`.

Keys, in full precision, lengths in mm, angles in degrees:

```
{"format": 1, "title":, "across": {"path":, "places": [...]}, "up": {"path":, "places": [..., the lowest first]},
 "limits": [{"code":, "by": in words}, ...],
 "room": [[room to the nearest limit, below 0 where it stops, ...] for each place up],
 "rules": [[number of that limit, from 0, ...] for each place up],
 "lock": {"across":, "up":, "room":, "rules":, "stopped": [codes of what stops it all the same, and no map looks at]},
 "beside_key": [{"side":, "room":, "by":}, ...]}
```
"""

from typing import Any

import numpy as np

from core.lock.lock import FORMAT
from core.propose.room_map import RoomMap, beside_key

_PASSED = -1e6
"""Room [mm] that stands for a wall that is missed altogether."""


def map_data(found: RoomMap) -> dict[str, Any]:
    """Return a map in plain lists, dictionaries, numbers and texts, as JSON takes them."""
    return {
        "format": FORMAT,
        "title": found.lock.title,
        "across": {"path": found.across, "places": found.xs.tolist()},
        "up": {"path": found.up, "places": found.ys.tolist()},
        "limits": [{"code": limit.code.name, "by": limit.by} for limit in found.limits],
        "room": np.maximum(found.margin, _PASSED).tolist(),
        "rules": found.rules.tolist(),
        "lock": {
            "across": found.here[0],
            "up": found.here[1],
            "room": max(found.room, _PASSED),
            "rules": found.by,
            "stopped": [one.code for one in found.stopped or ()],
        },
        "beside_key": [
            {"side": side.side, "room": side.room, "by": side.by} for side in beside_key(found.lock)
        ],
    }
