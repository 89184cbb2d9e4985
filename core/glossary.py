"""The words of the program, each for one thing, with what it means: what the help tells, and every text keeps to.

Words of the trade where it has one. Where a locksmith says it otherwise, that is told from memory, without a source.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Term:
    """One word, or a few that belong together, and what they mean."""

    name: str
    means: str


GLOSSARY: tuple[Term, ...] = (
    Term("back plate", "The plate that everything is marked out and riveted on; places are seen from its inside."),
    Term("bit", "The flag of the key that works the bolt; its outer corners run on the key's circle."),
    Term("blank", "A piece cut to size, from which a part is filed."),
    Term("bolt", "The bar that slides along the bolt line and holds the shackle's end with its nose."),
    Term("bolt line", "The line of the bolt's top edge, square to the centreline."),
    Term("bridge", "The strip of metal that is left above the gap and holds the bolt's two halves together."),
    Term("centreline", "The line from the datum mark through the pivot."),
    Term("chamfer", "A corner taken off in a straight line."),
    Term("clearance", "Room that is kept free between two things, so that they do not touch."),
    Term("click", "What the hand feels as the spring's tip comes out of its notch."),
    Term("cocking", "Tipping of the bolt in its guides, because the key pushes it below the line of its legs."),
    Term("counterbore", "A wider hole round the mouth of a hole, for the metal of a plug or rivet to go into."),
    Term("datum mark", "The mark on the top edge of the back plate from which all places are measured."),
    Term("depth", "How far down something goes: of the bolt, from the bolt line to its lower edge."),
    Term("detent", "Spring and notches, or what else draws the bolt to its seats and keeps it there."),
    Term("dip", "The hollow between the two humps of a lobed plate."),
    Term("drag", "What holds the bolt back besides the friction of guides and key: dirt, a tight guide."),
    Term("driven travel", "How far the key itself carries the bolt; the rest of the throw is left to the detent."),
    Term("driving flank", "A flank of the gap, by which the bit drives the bolt."),
    Term("engagement", "How far the nose stands in the shackle's end when the lock is locked."),
    Term("eye", "A hole through the shackle's end for the nose; also the roll at the end of a strip."),
    Term("finding", "One thing that the program has to say of the lock: a stop, a look or a note."),
    Term("flank", "An upright edge of the gap, on which the bit pushes: one to unlock, one to lock."),
    Term("floor", "The metal below the slot of a guide, or the bottom of a notch."),
    Term("foot", "Of a flank its lower end, where the relief begins; of a spring the end that is riveted fast."),
    Term("foul", "To meet where there should be room, so that the key stops."),
    Term("front guide", "The guide that carries the nose, on the shackle's side."),
    Term("front plate", "The plate that closes the lock, with the keyhole."),
    Term("gap", "The cut in the bolt's lower edge in which the bit works. A locksmith may call it the talon."),
    Term("guide", "A block with a slot, fixed to the back plate, in which a leg of the bolt runs."),
    Term("hump", "One of the two rounds at the top of a lobed plate."),
    Term("inner wall", "The inner side of the rim: key, bolt and all else have to find room inside it."),
    Term("jam", "To stick by friction, however hard the key is turned."),
    Term("key gauge", "A strip that stands in for the key on the bench, with a pin in the pivot hole."),
    Term("key-in", "The angle at which the key comes in, its bit pointing down; key-out, at which it goes out."),
    Term("key's circle", "The circle that the bit's outer corners describe about the pivot."),
    Term("land", "The bolt's top edge between the two notches, on which the spring's tip rides."),
    Term("leg", "One of the two thin ends of the bolt: the nose, and the tail."),
    Term("lip", "The metal of the shackle's end below the nose, which takes the pull."),
    Term("lobe", "The metal of the bolt that is left outside a driving flank, down to the lower edge."),
    Term("lower edge", "The underside of the bolt's body."),
    Term("nose", "The leg of the bolt that enters the shackle's end."),
    Term("nose clearance", "How far the nose stands clear of the shackle's end when the lock is unlocked."),
    Term("notch", "A cut with sloping sides in the bolt's top edge, for the spring's tip, or in the shackle's end."),
    Term("offcut", "A piece of sheet or bar at hand, that parts may be cut from."),
    Term("outline", "The shape of the plates."),
    Term("overrun", "How far the bolt can run past its seat before it meets what stops it."),
    Term("pick-up angle", "How far before top dead centre the bit meets the driving flank."),
    Term("pivot", "The point on which the key turns, and its hole."),
    Term("play", "What a part can move in its hole or slot."),
    Term("plug", "A short piece of rod, riveted into a stray hole and dressed flush."),
    Term("post", "A spacer riveted between the plates, through a hole in each."),
    Term("preload", "How far a spring is bent already with the bolt at rest."),
    Term("ramp", "A sloping side of a notch, on which the spring's tip draws the bolt home."),
    Term("reach", "Over what way the detent draws the bolt home."),
    Term("rear guide", "The guide that carries the tail, on the side that the bolt unlocks to."),
    Term("release", "Where the key lets go: its corner leaves the flank."),
    Term("relief", "The arc below a flank's foot, round the key's circle, by which the bit comes in and goes out."),
    Term("remedy", "A change that mends a finding, or saves a part that is made."),
    Term("rim", "The wall between the plates, a little inside their edge."),
    Term("roof", "The upper edge of the gap: one straight line, or the two compass arcs that meet in a cusp."),
    Term("scribe", "To scratch a line; a scribed roof is the one that the compass draws."),
    Term("seat", "Where the bolt rests: locked or unlocked."),
    Term("shackle", "The bow of the lock. Its end is what comes down into the lock and is held by the nose."),
    Term("shank", "The round stem of the key, which turns in the pivot hole."),
    Term("snap", "The bolt's last way home, when key and hand have let it go."),
    Term("spread", "How near to the plan each size comes out, over many locks that are made alike."),
    Term("spring", "The strip whose tip presses on the bolt from above."),
    Term("stop", "What the bolt meets past its seat; and a finding that the lock cannot work with."),
    Term("strip", "The flat piece of metal that the spring is made of."),
    Term("stroke", "One turn of the key, to unlock or to lock."),
    Term("tail", "The leg of the bolt that runs in the rear guide."),
    Term("throw", "The way of the bolt from one seat to the other."),
    Term("tip", "The end of the spring that presses on the bolt; of the nose or the bit, its outer end."),
    Term("tooth", "The gap with its flanks, roof and reliefs: all that the bit works in."),
    Term("top dead centre", "The angle of the key at which the bit points straight up the centreline."),
    Term("torque", "How hard the key turns."),
    Term("travel", "How far the bolt has come from its locked seat."),
    Term("way", "From where to where something moves."),
    Term("web", "The metal that is left between two holes."),
)  # fmt: skip
"""Every word with a meaning of its own here, in the order of the alphabet."""
