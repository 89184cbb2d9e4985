"""A path as plain data, as the report writes it."""

from typing import Any

from core.geometry.path import Line, Path


def path_as_data(path: Path) -> list[dict[str, Any]]:
    """Return a path's lines and arcs in plain lists, dictionaries, numbers and texts [mm]."""
    return [
        {"line": [list(s.start), list(s.end)]}
        if isinstance(s, Line)
        else {
            "arc": {
                "centre": list(s.centre),
                "radius": s.radius,
                "from": list(s.start),
                "to": list(s.end),
                "turn": s.turn,
            }
        }
        for s in path.segments
    ]
