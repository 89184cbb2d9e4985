"""Every formula of core.mechanism with quantities to give it, and the units of what it gives."""

import math

import numpy as np

from tests.carrying import (
    AREA,
    FORCE,
    LENGTH,
    MASS,
    MM,
    MOMENT,
    MPA,
    NUMBER,
    RATE,
    STRESS,
    UNITS,
    VOLUME,
    Case,
    Made,
    N,
)

STRIP = {"width": 6.0 * MM, "thickness": 0.5 * MM, "length": 30.0 * MM, "modulus": 205e3 * MPA}
SPRING, ACROSS = (
    Made("flat_spring", "FlatSpring", {**STRIP, "on_two_ends": two}) for two in (False, True)
)
LINKS = [
    Made("tolerance_stack", "Link", {"size": size * MM, "tolerance": off * MM, "way": way})
    for size, off, way in ((10.0, 0.1, 1), (3.0, 0.05, -1), (6.5, 0.05, -1))
]
CHANNELS, PINCHED = (
    [[x * MM, (y - wide) * MM, (y + 0.2) * MM] for x, y, wide in ends]
    for ends in (
        ((-26.0, 0.2, 0.2), (-18.0, 0.3, 0.2), (18.0, 0.0, 0.2), (26.0, -0.1, 0.2)),
        ((-26.0, 0.2, 0.2), (-18.0, 0.2, -0.1), (18.0, 0.0, 0.2), (26.0, -0.1, 0.2)),
    )
)
GIVEN = {
    "radius": 22.0 * MM,
    "bit": 3.0 * MM,
    "clearance": 0.3 * MM,
    "throw": 16.0 * MM,
    "pickup_angle": math.radians(15),
    "bolt_line": 26.0 * MM,
    "depth": 12.0 * MM,
}
TOOTH = Made("tooth_numbers", "tooth_from", GIVEN)
SHALLOW = Made("tooth_numbers", "tooth_from", {**GIVEN, "pickup_angle": 0.0, "depth": 5.0 * MM})
TOOTH_GIVES = {
    "relief_radius": LENGTH,
    "flank": LENGTH,
    "gap_width": LENGTH,
    "bridge": LENGTH,
    "half_angle": NUMBER,
    "driven_travel": LENGTH,
    "home_travel": LENGTH,
    "release_angle": NUMBER,
    "pickup_offset": LENGTH,
    "relief_foot": LENGTH,
    "flank_foot": LENGTH,
    "lower_edge": LENGTH,
    "half_bit": LENGTH,
    "reason": NUMBER,
}
FILED = {
    "radius": 19.9 * MM,
    "bit": 3.05 * MM,
    "throw": 9.4 * MM,
    "unlocking_flank": 1.6 * MM,
    "unlocking_foot": 17.0 * MM,
    "locking_flank": -10.9 * MM,
    "locking_foot": 16.8 * MM,
    "pivot_along": 0.1 * MM,
    "pivot_up": 0.15 * MM,
    "shank_play": 0.05 * MM,
    "bolt_lift": 0.02 * MM,
}
CARRIED = {
    "pickup_angle": NUMBER,
    "release_angle": NUMBER,
    "driven_travel": LENGTH,
    "home_travel": LENGTH,
}
ANGLES = np.linspace(-1.0, 1.0, 41)
DRIVEN = np.linspace(-0.2, 0.5, 15)
STROKES = ("unlocking", "locking")
TOUCHED = {"x": LENGTH, "y": LENGTH, "nx": NUMBER, "ny": NUMBER, "tx": NUMBER, "ty": NUMBER}
ARC = {"x": LENGTH, "y": LENGTH, "nx": NUMBER, "ny": NUMBER}
CORNER = Made(
    "rounded_corner", "Corner",
    {"radius": 20.0 * MM, "rounded": 0.5 * MM, "half_angle": 0.0513, "half_bit": 1.5 * MM, "foot": 16.0 * MM},
)  # fmt: skip
ONE = np.ones(1)
PUSH = Made(
    "statics",
    "Contact",
    {
        "x": 1.5 * ONE * MM,
        "y": 20.0 * ONE * MM,
        "nx": ONE,
        "ny": 0 * ONE,
        "tx": 0 * ONE,
        "ty": -ONE,
    },
)
GUIDES = Made(
    "statics",
    "Bearings",
    {
        "front_x": -18.0 * ONE * MM,
        "rear_x": 22.0 * ONE * MM,
        "front_y": 23.0 * MM,
        "rear_y": 22.0 * MM,
    },
)
PULL = Made(
    "statics",
    "Applied",
    {"fx": -3.0 * ONE * N, "fy": -1.0 * ONE * N, "moment": 72.0 * ONE * N * MM},
)
NOTCH = Made(
    "notch", "Notch", {"half_width": 1.0 * MM, "ramp": 0.8, "depth": 0.7 * MM, "tip": 0.6 * MM}
)
DETENT = Made(
    "detent_force",
    "Detent",
    {"notch": NOTCH, "throw": 9.5 * MM, "press": 3.0 * N, "rate": 1.4 * N / MM},
)
BENT = {"hang": 3.1 * MM, "lift": 2.4 * MM}
DENSE = 8.49e-3 * UNITS.g / MM**3
OFF, ALONG, MU = {"off": 0.3 * MM}, {"travel": 9.3 * MM}, {"mu": 0.19}
DRAG = {"drag": 0.1 * N}
PULLED = Made("knocks", "Pulled", {"at": -26.5 * MM, "front": -20.0 * MM, "rear": 22.0 * MM})

CASES: dict[str, list[Case]] = {
    "notch": [
        *(Case(name, {}, LENGTH, NOTCH) for name in ("foot", "floor", "slope_end", "play", "seat_drop")),
        Case("steepest", {}, NUMBER, NOTCH),
        Case("drop", OFF, LENGTH, NOTCH),
        Case("slope", OFF, NUMBER, NOTCH),
    ],
    "detent_force": [
        Case("least_ramp", MU, NUMBER),
        Case("greatest_ramp", MU, NUMBER),
        Case("against", {"press": 3.0 * N, "slope": 0.7, **MU}, FORCE),
        Case("land", {}, FORCE, DETENT),
        Case("lifted", ALONG, LENGTH, DETENT),
        Case("pressing", ALONG, FORCE, DETENT),
        Case("slope", {**ALONG, "way": 1}, NUMBER, DETENT),
        Case("resists", {**ALONG, **MU, "way": -1}, FORCE, DETENT),
        Case("touch", ALONG, LENGTH, DETENT),
        Case("leaving", {**OFF, **MU, **DRAG}, FORCE, DETENT),
        Case("pull", {**OFF, **MU, **DRAG}, FORCE, DETENT),
        Case("capture", {**MU, **DRAG}, LENGTH, DETENT),
        Case("rests_off", {**MU, **DRAG}, LENGTH, DETENT),
        Case("holding", {**MU, **DRAG}, FORCE, DETENT),
        Case("work_to_leave", {**MU, **DRAG}, MOMENT, DETENT),
    ],
    "knocks": [
        Case("mass", {"area": 343.6 * MM**2, "thickness": 3.0 * MM, "density": DENSE}, MASS),
        Case("borne", {}, NUMBER, PULLED),
        Case("share", {}, NUMBER, PULLED),
        Case("holds", MU, NUMBER, PULLED),
        Case("backs_out", MU, NUMBER, PULLED),
    ],
    "strip_shape": [
        *(Case("strip_height", {"along": 0.4, **BENT, "on_two_ends": two}, LENGTH) for two in (False, True)),
        Case("lowest", BENT, LENGTH),
        Case("highest", BENT, LENGTH),
    ],
    "strength": [
        Case("torsion_stress", {"torque": 2000.0 * N * MM, "diameter": 5.0 * MM}, STRESS),
        Case("shear_stress", {"force": 500.0 * N, "area": 7.0 * MM**2, "planes": 2}, STRESS),
        Case("shear_force", {"yield_stress": 140.0 * MPA, "area": 18.0 * MM**2}, FORCE),
        Case("round_area", {"diameter": 3.0 * MM}, AREA),
        Case("second_moment", {"width": 6.0 * MM, "thickness": 0.5 * MM}, "[length] ** 4"),
        Case("bending_stress", {"moment": 90.0 * N * MM, "width": 6.0 * MM, "thickness": 0.5 * MM}, STRESS),
        Case("bending_force", {"yield_stress": 140 * MPA, "arm": 4 * MM, "width": 3 * MM, "thickness": 6 * MM}, FORCE),
        Case("cantilever_rate", {"second_moment": 0.06 * MM**4, "length": 30.0 * MM, "modulus": 205e3 * MPA}, RATE),
        Case("rate_on_two_ends", {"second_moment": 0.06 * MM**4, "span": 30.0 * MM, "modulus": 205e3 * MPA}, RATE),
    ],
    "flat_spring": [
        case
        for spring in (SPRING, ACROSS)
        for case in (
            Case("rate", {}, RATE, spring),
            Case("force", {"deflection": 2.0 * MM}, FORCE, spring),
            Case("deflection", {"force": 3.0 * N}, LENGTH, spring),
            Case("stress", {"deflection": 2.0 * MM}, STRESS, spring),
            Case("furthest", {"stress": 300.0 * MPA}, LENGTH, spring),
            Case("arm", {}, LENGTH, spring),
        )
    ],
    "circle_segments": [
        Case("chord", {"radius": 60.0 * MM, "height": 8.0 * MM}, LENGTH),
        Case("radius_of", {"chord": 16.0 * MM, "height": 6.0 * MM}, LENGTH),
        Case("segment_area", {"radius": 3.5 * MM, "height": 2.8 * MM}, AREA),
        Case("eye_area", {"radius": 3.5 * MM, "width": 3.2 * MM}, AREA),
        Case("notch_area", {"radius": 3.5 * MM, "depth": 2.8 * MM}, AREA),
        Case("eye_lip_area", {"radius": 3.5 * MM, "width": 3.2 * MM, "lip": 3.9 * MM}, AREA),
        Case("notch_lip_area", {"radius": 3.5 * MM, "depth": 2.8 * MM, "lip": 3.9 * MM}, AREA),
    ],
    "rivet_volume": [
        Case("snap_volume", {"diameter": 4.8 * MM, "height": 2.1 * MM}, VOLUME),
        Case("sink_depth", {"outer": 4.5 * MM, "hole": 3.2 * MM, "angle": math.pi / 3}, LENGTH),
        Case("frustum_volume", {"outer": 4.5 * MM, "hole": 3.2 * MM, "depth": 1.1 * MM}, VOLUME),
        Case("in_shank", {"volume": 20.0 * MM**3, "rivet": 3.0 * MM}, LENGTH),
        Case("sunk_beyond_grip", {"rivet": 3.0 * MM, "outer": 4.5 * MM, "angle": math.pi / 3}, LENGTH),
        Case(
            "snap_length",
            {"rivet": 3 * MM, "hole": 3.2 * MM, "grip": 7 * MM, "diameter": 4.8 * MM, "height": 2.1 * MM},
            LENGTH,
        ),
        Case(
            "sunk_length",
            {"rivet": 3 * MM, "hole": 3.2 * MM, "grip": 7 * MM, "outer": 4.5 * MM, "angle": 1.05, "proud": 0.3 * MM},
            LENGTH,
        ),
        Case(
            "plug_length",
            {"plug": 5.9 * MM, "hole": 6 * MM, "plate": 2 * MM, "wide": 8 * MM, "deep": 0.5 * MM, "proud": 0.2 * MM},
            LENGTH,
        ),
    ],
    "tolerance_stack": [
        Case(name, {"links": LINKS}, LENGTH) for name in ("gap", "worst", "root_sum_square", "uniform_deviation")
    ],
    "tilted": [
        Case("tilt", {"leg": 6.0 * MM, "slide": 0.1 * MM, "span": 46.0 * MM}, NUMBER),
        Case(
            "tilted_travel",
            {"radius": 20.0 * MM, "offset": 1.5 * MM, "foot": 15.0263 * MM, "angle": 0.004, "middle": 1.0 * MM,
             "below": 4.0 * MM}, LENGTH,
        ),
    ],
    "channel_line": [
        *(
            Case("between", {"places": places}, {"height": LENGTH, "slope": NUMBER, "room": LENGTH})
            for places in (CHANNELS, PINCHED)
        ),
        Case("at", {"x": 20.0 * MM}, LENGTH, Made("channel_line", "between", {"places": CHANNELS})),
    ],
    "corner": [
        Case("half_angle", {"half_bit": 1.5 * MM, "radius": 22.0 * MM}, NUMBER),
        Case("half_chord", {"radius": 22.0 * MM, "height": 18.0 * MM}, LENGTH),
        Case("least_relief", {"across": 13.5 * MM, "height": 15.0 * MM, "pickup": 0.2}, LENGTH),
        Case("meets_at", {"half_bit": 1.5 * MM, "radius": 22 * MM, "flank": -3.372 * MM, "foot": 18.38 * MM}, NUMBER),
        Case("meets_at", {"half_bit": 1.5 * MM, "radius": 22 * MM, "flank": 2.5 * MM, "foot": 18.38 * MM}, NUMBER),
        Case("carries", {"radius": 20.0 * MM, "flank": 1.5 * MM, "foot": 15.0263 * MM}, LENGTH),
        Case("lets_go_at", {"half_bit": 1.5 * MM, "radius": 20.0 * MM, "foot": 15.0263 * MM}, NUMBER),
    ],
    "tooth_numbers": [
        Case(name, {}, gives, tooth) for tooth in (TOOTH, SHALLOW) for name, gives in TOOTH_GIVES.items()
    ],
    "actual": [
        Case("as_planned", {"tooth": TOOTH}, dict.fromkeys(list(FILED)[:7], LENGTH)),
        *(Case("carried", {"parts": Made("actual", "ActualParts", FILED), "stroke": s}, CARRIED) for s in STROKES),
    ],
    "rounded_corner": [
        *(Case("touches", {"angles": at}, ARC, CORNER) for at in (0.2, 0.62)),
        *(Case(name, {}, gives, CORNER) for name, gives in (("within", LENGTH), ("rolls", NUMBER))),
    ],
    "takeover": [Case("takeover", {"tooth": TOOTH, "capture": 2.0 * MM}, {"angle": NUMBER, "flank_left": LENGTH})],
    "law": [
        Case("travel", {"tooth": TOOTH, "angles": ANGLES, "stroke": s}, LENGTH) for s in STROKES
    ],
    "contact": [
        Case("contact", {"tooth": TOOTH, "angles": DRIVEN}, TOUCHED),
    ],
    "statics": [
        Case("span", {}, LENGTH, GUIDES),
        Case("middle", {}, LENGTH, GUIDES),
        Case("cocking", {"height": 20.0 * ONE * MM}, NUMBER, GUIDES),
        Case("resting", {"weight": 4.0 * ONE * N, "turning": 20.0 * ONE * N * MM}, FORCE, GUIDES),
        Case(
            "balance",
            {"contact": PUSH, "bearings": GUIDES, "applied": PULL, "mu": np.array([[0.0], [0.2], [0.9]])},
            {"push": FORCE, "front": FORCE, "rear": FORCE, "torque": MOMENT},
        ),
        Case(
            "sliding", {"bearings": GUIDES, "applied": PULL, "mu": np.array([[0.0], [0.2], [0.9]])},
            {"ahead": FORCE, "front": FORCE, "rear": FORCE},
        ),
    ],
}  # fmt: skip
ALONE = {
    "drives": "a yes or no",
    "fits": "a yes or no",
    "side": "a direction",
    "phases": "yes or no, of angles",
    "driven_angles": "angles, in steps of an angle",
    "touch": "of a course, which is scaled",
    "bit_shape": "the corners of a polygon: scaled",
    "rounded": "0",
    "corner": "numbers of the tooth, as they are",
    "before": "a yes or no",
    **dict.fromkeys(
        ("shaken_loose", "fall_that_frees", "speed_from"),
        "free fall is in m/s2, and all is in g and mm: scaled",
    ),
}
"""What has no case of its own, and why; all the rest has to have one."""
NOT_CARRIED = {
    "maths": "functions, no formulas",
    "sweep": "polygons: scaled",
    "gap_contact": "chains of corners: scaled",
    "bit_shape": "the corners of a polygon: scaled",
    **dict.fromkeys(
        ("lobe", "narrow_gap", "after_release", "second_turn", "scribed_roof", "filed_parts"),
        "lengths held against a slack in mm: scaled",
    ),
}
