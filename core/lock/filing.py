"""The table `[filing]`: what is left on at each edge until it is fitted at the bench."""

from dataclasses import dataclass

from core.lock.fields import SOURCE_NONE, length


@dataclass(frozen=True)
class Filing:
    """Metal left on at each edge while it is sawn and filed to shape, to be taken off by fitting."""

    relief: float = length(
        0.0, "left on relief and roof",
        "Left inside the compass arcs of roof and relief. They are cut first, for the key to go round.",
        "Calliper from the roof of the gap to the bolt's top edge, less the bridge wanted.",
        f"0: to the line ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    lower_edge: float = length(
        0.0, "left on lower edge", "Left below the lower edge of the bolt's body.",
        "Calliper across the body, less the bolt's depth.", f"0: to the line ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    legs: float = length(
        0.1, "left on legs", "Left under nose and tail, to be fitted to the guides.",
        "Calliper across the leg, less its height.", f"0.05 to 0.2 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    nose_tip: float = length(
        0.3, "left on nose", "Left at the tip of the nose, to be fitted to the shackle.",
        "Rule along the bolt line, tip to tail, less the length wanted.", f"0.2 to 0.5 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    bit_tip: float = length(
        0.2, "left on bit's tip", "Left at the tip of the bit: the key stays longer until roof and relief are cut.",
        "Calliper from the far side of the shank to the bit's corner, less half the shank and the key's radius.",
        f"0.1 to 0.3 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    bit_faces: float = length(
        0.1, "left on bit's thickness", "Left on the thickness of the bit, both faces together.",
        "Calliper across the bit near its corners, less the thickness wanted.",
        f"0.1 mm, for the last strokes ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    flanks: float = length(
        0.3, "left on flanks", "Left on each driving flank, into the gap. They are filed last, to the bit.",
        "Half of what the gap measures less than wanted.", f"0.2 to 0.5 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    guide_floors: float = length(
        0.2, "left on guide floors", "Left on the floor of each guide's slot, until the leg runs on the bolt line.",
        "Calliper below the slot, less the floor wanted.", f"0.1 to 0.3 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
