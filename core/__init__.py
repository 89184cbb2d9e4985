"""The computing core of boltwright: from a lock's numbers to all that follows from them.

Glossary, in the trade's words
------------------------------
bit             the flag of the key that works the bolt; its outer corners run on the key's circle
bolt line       the line of the bolt's top edge, square to the centreline
bridge          metal left above the gap for the bit
centreline      from the pivot to the datum mark on the plate's top edge
clearance       kept between the key's circle and every edge that it must pass
detent          spring and notches that draw the bolt to its two seats and hold it there
driven travel   how far the key itself carries the bolt; home travel is what the detent must add
engagement      how far the nose stands in the shackle when locked; gap, how far clear when unlocked
flank           an upright edge of the gap, on which the bit pushes; its foot is the lower end
guide           a bridge over a leg of the bolt: the front one carries the nose, the rear one the tail
nose, tail      the two thin legs of the bolt: into the shackle, and into the rear guide
pick-up angle   how far before top dead centre the bit meets the flank
post            a spacer riveted between the plates, through a hole in each
relief          the arc below a flank's foot by which the bit comes in at either seat
rim             the wall between the plates, inside their edge; the inner wall is its inner side
seat            where the bolt rests: locked or unlocked; the throw is the way from one to the other
tooth           the gap in the bolt's lower edge in which the bit works
top dead centre the key angle at which the bit points straight up the centreline

And in the words of this program: a *finding* is one result of a check, made by the *code* that the check declared; an
*outcome* is a number by which two locks are compared; a *workpiece* lies on the bench by itself; a *step* asks for
values, in the mock-up order. Frames are explained in `core.layout.frames`, findings in `core.layout.codes`,
workpieces in `core.layout.workpiece`, adding a part in DEVELOPERS.md.
"""
