"""The tables of a project file, one frozen dataclass each; lengths in mm, angles in degrees.

Positions that are measured in the mechanism frame have their origin at the pivot: x to the right,
y up the centreline, seen from inside the back plate.
"""

from dataclasses import dataclass
from typing import Any, ClassVar

from core.lock.fields import SOURCE_NONE, angle, choice, length, points, sideways


@dataclass(frozen=True)
class Plate:
    """Both plates: their outline, and the wall that stands inside its edge."""

    outline: str = choice(
        "shield",
        ("round", "oval", "rectangle", "shield", "lobed", "traced"),
        "outline",
        "The shape of both plates.",
        usual=f"shield: room for the key below, and easy to file ({SOURCE_NONE}).",
    )
    width: float = length(
        76.0, "width", "Width of the plate across; for a round plate its diameter.",
        "Calliper across the widest place.",
        f"60 to 100 mm for a lock in the hand ({SOURCE_NONE}).",
    )  # fmt: skip
    height: float = length(
        92.0, "height", "Height of the plate from top to bottom; a round plate does not use it.",
        "Calliper or rule from the highest point to the lowest.",
        f"The width, or up to a quarter more ({SOURCE_NONE}).",
    )  # fmt: skip
    corner: float = length(
        6.0, "corner radius", "Radius of the corners of a rectangle.",
        "Try a radius gauge or a coin of known size.",
        f"4 to 10 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    straight: float = length(
        38.0, "straight side", "Length of a shield's straight sides, from the top edge down.",
        "Rule along the side to where it begins to curve in.",
        f"A third to half of the height ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    lobe: float = length(
        18.0, "hump radius", "Radius of the two humps at the top of a lobed plate.",
        "Compass set to the hump, or half its width.", f"About a quarter of the width ({SOURCE_NONE}).",
    )  # fmt: skip
    notch: float = length(
        6.0, "dip depth", "Depth of the dip between the humps, from their tops.",
        "Straight edge over both humps, rule down into the dip.", f"4 to 8 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    points: tuple[tuple[float, ...], ...] = points(
        "traced points",
        "Corners of a traced outline in the plate frame: x right and y up from the datum mark; "
        "a third number, tan(angle / 4), bends the edge to the next point, positive anticlockwise.",
        "Lay the plate on squared paper with the datum mark at the origin, and read off the corners.",
        f"Four to twelve corners ({SOURCE_NONE}).",
    )
    thickness: float = length(
        2.0, "plate thickness", "Thickness of each plate.", "Calliper on the edge.",
        f"1.5 to 3 mm in steel or brass ({SOURCE_NONE}).",
    )  # fmt: skip
    rim: float = length(
        4.0, "rim", "Width of the wall inside the edge; every part stays inside it.",
        "Calliper on the bar that the wall is bent from, plus how far it is set in.",
        f"3 to 6 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    mark_across: float = sideways(
        0.0, "datum mark",
        "Where the datum mark stands on the top edge, left or right of that edge's middle.",
        "Scribe the mark, then measure from both ends of the top edge.",
        f"0, the middle ({SOURCE_NONE}).",
    )  # fmt: skip


@dataclass(frozen=True)
class Pivot:
    """The point in the plate on which the key turns."""

    across: float = sideways(
        0.0, "pivot across", "The pivot, left or right of the datum mark, seen from inside the back plate.",
        "Square through the mark, rule across to the centre punch.", f"0, straight below the mark ({SOURCE_NONE}).",
    )  # fmt: skip
    below: float = length(
        54.0, "pivot below", "The pivot, below the datum mark.",
        "Rule from the mark down to the centre punch, square to the top edge.",
        f"A little below the middle of the plate ({SOURCE_NONE}).",
    )  # fmt: skip
    hole: float = length(
        6.0, "pivot hole", "Diameter of the hole in which the key turns.",
        "Calliper's inside jaws, or the drill that just enters.",
        f"The shank plus 0 to 0.2 mm ({SOURCE_NONE}).",
    )  # fmt: skip


@dataclass(frozen=True)
class BoltLine:
    """The line along which the bolt's top edge slides, square to the centreline."""

    height: float = length(
        24.0, "bolt line", "Height of the bolt's top edge above the pivot, along the centreline.",
        "Compass or rule from the pivot up the centreline to the scribed line.",
    )  # fmt: skip
    spring_room: float = length(
        8.0, "spring room", "Height kept free above the bolt line for the spring.",
        "The spring at its highest, measured up from the bolt.",
        f"6 to 10 mm for a flat spring ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip


@dataclass(frozen=True)
class Key:
    """The key where it meets the bolt."""

    step: ClassVar = "key radius"
    """The step of the layout that its values belong to, which is not called as the table is."""

    radius: float = length(
        20.0, "key radius",
        "From the pivot to the outer corners of the bit: the circle that the bit describes.",
        "Compass set from the middle of the shank to a corner of the bit.",
    )  # fmt: skip
    bit_thickness: float = length(
        3.0, "bit thickness", "Thickness of the bit between its two faces.",
        "Calliper across the bit near its outer edge.", f"2.5 to 4 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    shank: float = length(
        6.0, "shank", "Diameter of the key's shank at the bolt.", "Calliper on the shank.",
        f"5 to 8 mm ({SOURCE_NONE}).",
    )  # fmt: skip


@dataclass(frozen=True)
class Bolt:
    """The bolt's own sizes; its tooth follows from key and throw."""

    depth: float = length(
        10.0, "bolt depth", "From the bolt line down to the bolt's lower edge.",
        "Calliper across the body of the bolt.",
    )  # fmt: skip
    thickness: float = length(
        3.0, "bolt thickness", "Thickness of the plate that the bolt is cut from.",
        "Calliper over both faces of the bolt, burrs filed off first.",
        f"3 to 5 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    nose_height: float = length(
        6.0, "nose height", "Height of the leg that enters the shackle, down from the bolt line.",
        "Calliper across the nose where it is highest, top edge to underside.",
        f"About twice the thickness of the bolt ({SOURCE_NONE}).",
    )  # fmt: skip
    tail_height: float = length(
        6.0, "tail height", "Height of the leg in the rear guide, down from the bolt line.",
        "Calliper across the tail where it is highest, top edge to underside.", f"As the nose ({SOURCE_NONE}).",
    )  # fmt: skip
    lobe_width: float = length(
        6.5, "lobe width", "Metal left outside each driving flank, measured across from the flank.",
        "Calliper from the flank to the outside of the bolt's body.",
        f"At least twice the bolt's thickness ({SOURCE_NONE}).",
    )  # fmt: skip
    lobe_chamfer: float = length(
        0.0, "lobe chamfer",
        "Taken off each lobe's corner where relief and lower edge meet: a straight line from so far outside that "
        "corner until it just touches the relief. It lets the bit in although the bolt is a little off its seat.",
        "Calliper from the flank along the lower edge to where the chamfer begins, less the same to the corner.",
        f"0 for none, or 0.3 to 0.8 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip


@dataclass(frozen=True)
class ToothValues:
    """How the gap for the bit is cut."""

    pickup_angle: float = angle(
        0.0, "pick-up angle", "How far before top dead centre the bit meets the driving flank.", 80.0,
        "Protractor on the key between the centreline and the bit at first touch.",
        f"0, meeting at top dead centre ({SOURCE_NONE}).",
    )  # fmt: skip
    roof: str = choice(
        "flat", ("flat", "scribed"), "roof of the gap",
        "flat: one line from flank to flank. scribed: the two compass arcs, with a low cusp between.",
        f"flat ({SOURCE_NONE}).",
    )  # fmt: skip


@dataclass(frozen=True)
class Shackle:
    """The free end of the shackle, which the bolt's nose holds."""

    across: float = sideways(
        -26.5, "shackle end",
        "Middle of the shackle's end from the centreline. It lies on the side to "
        "which the bolt locks.",
        "Rule along the bolt line from the centreline to the middle of the end.",
        f"As far out as the inner wall lets it come down freely ({SOURCE_NONE}).",
    )  # fmt: skip
    diameter: float = length(
        7.0, "end diameter", "Diameter of the shackle's end, across.", "Calliper on the end.",
        f"6 to 10 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    catch: str = choice(
        "eye", ("eye", "notch"), "eye or notch",
        "eye: the nose passes through the shackle's end. notch: it enters a notch in the end's side.",
        usual=f"eye ({SOURCE_NONE}).",
    )  # fmt: skip
    drop: float = length(
        9.0, "end below line", "How far the shackle's end reaches below the bolt line.",
        "Lock shut, rule from the bolt line down to the end of the shackle.",
    )  # fmt: skip
    engagement: float = length(
        8.0, "engagement", "How far the nose goes beyond the near face of the shackle's end when locked.",
        "Mark the nose at the face with the lock shut, open it, measure mark to tip.",
        f"With an eye the end's diameter and a little more, with a notch a third of it ({SOURCE_NONE}).",
    )  # fmt: skip
    gap: float = length(
        1.5, "nose clearance", "How far the nose stands clear of that face when unlocked.",
        "Feeler gauge or drill shank between nose and shackle, lock open.",
        f"1 to 2 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip


def _guide_width(guide: str) -> Any:
    return length(
        4.0, "guide width", "Width of the guide along the bolt line.",
        f"Calliper over the two faces of the {guide}, along the bolt line.", f"4 to 6 mm ({SOURCE_NONE}).",
    )  # fmt: skip


def _guide_floor(guide: str, leg: str) -> Any:
    return length(
        2.0, "guide floor", "Metal of the guide below the leg.",
        f"Calliper on the {guide}: from the floor of its slot, where the {leg} slides, to its underside.",
        f"About the thickness of the bolt ({SOURCE_NONE}).",
    )  # fmt: skip


@dataclass(frozen=True)
class Guide:
    """A block with a slot that one leg of the bolt runs in, fixed to the plate."""

    from_centreline: float = length(
        20.0, "guide from centreline", "The guide's face nearer the centreline, from the centreline.",
        "Rule along the bolt line from the centreline to the guide.",
    )  # fmt: skip
    width: float = _guide_width("guide")
    floor: float = _guide_floor("guide", "leg")


@dataclass(frozen=True)
class FrontGuide(Guide):
    """The guide that carries the nose."""

    from_centreline: float = length(
        18.0, "front guide", "The front guide's face nearer the centreline, from the centreline.",
        "Rule along the bolt line from the centreline to the near face of the front guide.",
    )  # fmt: skip
    width: float = _guide_width("front guide")
    floor: float = _guide_floor("front guide", "nose")


@dataclass(frozen=True)
class RearGuide(Guide):
    """The guide that carries the tail."""

    from_centreline: float = length(
        20.0, "rear guide", "The rear guide's face nearer the centreline, from the centreline.",
        "Bolt drawn back: rule along the bolt line from the centreline to the near face of the rear guide.",
    )  # fmt: skip
    width: float = _guide_width("rear guide")
    floor: float = _guide_floor("rear guide", "tail")


@dataclass(frozen=True)
class Fit:
    """Clearances and margins that the maker works to."""

    on_paper: ClassVar[bool] = True
    """They are asked of the parts and are no part: setting one otherwise leaves all metal as it is."""

    key_clearance: float = length(
        0.2, "key clearance", "Kept between the key's circle and every edge that it must pass.",
        "Feeler gauge between the bit and the edge.", f"0.2 to 0.5 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    slide_clearance: float = length(
        0.1, "slide clearance", "Play of the bolt in its guides, on each side.",
        "Feeler gauge above the bolt.", f"0.1 to 0.2 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    bridge_min: float = length(
        2.5, "least bridge", "The least metal to leave above the gap for the bit.",
        "Calliper from the roof of the gap to the bolt's top edge.",
        f"About the thickness of the bolt ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    metal_min: float = length(
        0.8, "least metal", "The thinnest that you will file a guide, a leg, a lobe or the cheeks of an eye.",
        "Calliper on the thinnest piece that you have filed and would file again.",
        f"0.8 to 1.5 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    key_max: float = length(
        0.0, "largest key",
        "The largest radius that you will make a key with, from the pivot to the bit's corner; 0 for whatever fits.",
        "Compass set from the middle of the shank to a corner of the largest bit that you would make.",
        f"0, whatever fits ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    detent_capture: float = length(
        1.0, "detent's reach", "How far the detent can draw the bolt home after the key lets go.",
        "Push the bolt off its notch until it no longer springs back; half that way on each side.",
        f"0.5 to 1.5 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    made_tolerance: float = length(
        0.1, "made tolerance",
        "How far a part that is made may stand off the part now wanted and still be called good.",
        "What your files and callipers can be trusted to.", f"0.05 to 0.2 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
