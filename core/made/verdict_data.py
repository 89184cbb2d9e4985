"""A verdict on a made workpiece as plain data, for the report and for comparisons."""

from typing import Any

from core.made.fitting import Patch
from core.made.strays import Stray
from core.made.verdicts import Moved, Verdict


def verdict_data(verdict: Verdict) -> dict[str, Any]:
    """Return a verdict as plain data: depths in mm, areas in mm2, places in the workpiece's frame."""
    fitting, moved = verdict.apart, verdict.back if verdict.word == "move" else verdict.moved
    return {
        "part": verdict.part,
        "verdict": verdict.word,
        "file": [_patch(patch) for patch in verdict.slot or fitting.spare],
        "file_depth": max([fitting.deepest_spare, *(patch.depth for patch in verdict.slot)]),
        "file_area": verdict.slot[0].area if verdict.slot else fitting.spare_area,
        "missing": [_patch(patch) for patch in fitting.missing],
        "missing_depth": fitting.deepest_missing,
        "missing_area": fitting.missing_area,
        "moved": None if moved is None else _moved(moved),
        "scribe": [_moved(moved) for moved in verdict.scribe],
        "fault": verdict.fault,
        "strays": [_stray(stray) for stray in verdict.strays],
    }


def _stray(stray: Stray) -> dict[str, Any]:
    return {
        "what": stray.name, "across": stray.across, "up": stray.up, "at": list(stray.at), "wanted": list(stray.wanted),
        "hole": stray.hole, "plug": stray.plug, "plug_length": stray.length, "counterbore": stray.counterbore,
        "counterbore_depth": stray.depth, "web": stray.web, "to_edge": stray.rim,
    }  # fmt: skip


def _patch(patch: Patch) -> dict[str, Any]:
    return {"where": patch.where, "depth": patch.depth, "area": patch.area, "at": list(patch.at)}


def _moved(moved: Moved) -> dict[str, Any]:
    there = {"what": moved.name, "across": moved.across, "up": moved.up}
    # its near face goes `up`, its outer one so much, where the two differ
    return {**there, "outer_up": moved.outer_up} if moved.turned else there
