"""Plugging: stray holes in made plates are filled and drilled where they belong, and the lock keeps the plugs."""

from dataclasses import replace

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.made import ordered
from core.lock.row_changes import free_name, with_row
from core.lock.rows.plugs import BOTH, Plug
from core.made.holding import PIVOT
from core.made.strays import PROUD, Stray
from core.made.verdicts import as_meant, verdicts
from core.whole import assembly

SAME = 1e-6
"""Distance [mm] between two holes that are one hole through both plates."""


def strays_to_plug(lock: Lock) -> dict[str, tuple[Stray, ...]]:
    """Return the stray holes of the plates whose verdict is to plug them, by the plate's key."""
    found = verdicts(Layout(lock))
    return {verdict.part: verdict.strays for verdict in found if verdict.word == "plug"}


def with_plugs(lock: Lock) -> Lock:
    """Return the lock in which every stray hole that is to be plugged is, and drilled anew where it belongs.

    Each is a row of the lock from then on; one through both plates is one row. The plates count as made so.
    """
    found = strays_to_plug(lock)
    if not found:
        return lock
    layout = as_meant(Layout(lock), found)
    meant, new = layout.lock, layout.plan
    made = []
    for record in new.made:
        if record.part in found:
            anew = {path: meant.value(path) for path in PIVOT}
            record = replace(record, planned=ordered({**dict(record.planned), **anew}))
        made.append(record)
    new = replace(new, made=tuple(made))
    for stray, plate in once(found):
        new = with_row(new, "plugs", free_name(new, "plugs"), plug_for(stray, plate))
    return new


def plug_for(stray: Stray, plate: str) -> Plug:
    """Return the plug of a stray hole in a plate, by name, or in `both plates`."""
    return Plug(
        across=round(stray.at[0], 6) + 0.0,
        below=round(-stray.at[1], 6),
        hole=round(stray.hole, 6),
        counterbore=round(stray.counterbore, 6),
        depth=round(stray.depth, 6),
        diameter=round(stray.plug, 6),
        proud=PROUD,
        plate=plate,
    )


def once(found: dict[str, tuple[Stray, ...]]) -> list[tuple[Stray, str]]:
    """Return each stray hole of the plates once, with the name of the plate that has it, or of both."""
    told: list[tuple[Stray, str]] = []
    for part, strays in found.items():
        for stray in strays:
            for k, (other, _) in enumerate(told):
                if max(abs(a - b) for a, b in zip(stray.at, other.at, strict=True)) < SAME:
                    told[k] = (other, BOTH)
                    break
            else:
                told.append((stray, assembly.workpieces()[part].name))
    return told
