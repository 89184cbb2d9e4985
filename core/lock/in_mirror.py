"""The lock in the mirror: what lies to one side lies to the other, and it unlocks the other way.

Of a row that stays where it is on a plate that was cut, such as a filled hole, there is no mirror image.
"""

from core.lock.lock import Lock, paths, spec_of
from core.lock.numbers import ACROSS

OTHER = {"left": "right", "right": "left"}
"""The other side of each."""
_SIDES = ("unlocks", "spring.foot_side")


def unlocking_to(lock: Lock, side: str) -> Lock:
    """Return a lock that unlocks to a side: one that did so to the other is seen in the mirror.

    Only the side is changed where something stays where it is, a part that is made or a filled hole, and where the
    shackle's end lies on the wrong side now.
    """
    wrong = (lock.shackle.across > 0) == (lock.unlocks == "right")
    if side == lock.unlocks or lock.made or lock.rows.of("plugs") or wrong:
        return lock.with_value("unlocks", side)
    return in_mirror(lock)


def in_mirror(lock: Lock) -> Lock:
    """Return a lock of which nothing is made as a mirror beside it shows it."""
    for path in _SIDES:
        lock = lock.with_value(path, OTHER[lock.value(path)])
    for path in paths(lock):
        if spec_of(path).kind is ACROSS:
            lock = lock.with_value(path, -lock.value(path))
    points = tuple((-p[0], p[1], *(-bend for bend in p[2:])) for p in lock.plate.points)
    return lock.with_value("plate.points", points)
