"""The bit's corner on the key's circle: where it stands, where it meets a flank, where it lets it go.

Seen from the pivot: y up the centreline, the flank upright with its metal to +x, its foot the lower end; angles
clockwise from top dead centre. All arguments are numbers, or arrays of shapes that broadcast to the result's.
"""

from core.mechanism.maths import N, maths


def half_angle(half_bit: N, radius: N) -> N:
    """Return the angle [rad], any shape, between the bit's mid-line and its corner.

    Of half a bit's thickness `half_bit` [mm] and the key's `radius` [mm], any shape.

    Source: `sin(beta) = (b/2) / R`, the right triangle from pivot to corner.
    Valid: for a radius above 0; a bit thicker than the key's circle counts as just as thick.

    Example, 60 degrees stand on a chord of 1.0000 in radius 1, Machinery's Handbook, segments of circles (memory):
    >>> round(2 * half_angle(0.5, 1.0), 6)
    1.047198
    """
    return maths(half_bit, radius).asin(half_bit / radius)


def half_chord(radius: N, height: N) -> N:
    """Return half the chord [mm], any shape, of a circle of `radius` [mm] at a `height` [mm] above its middle.

    Source: `sqrt(R^2 - y^2)`, which is `sqrt(h (2 R - h))` for h = R - y: segments of circles in any handbook.
    Valid: for any height; 0 where there is no chord.

    Example, 120 degrees in radius 1: height .5000, chord 1.7321, Machinery's Handbook (memory):
    >>> round(2 * half_chord(1.0, 1 - 0.5), 4)
    1.7321
    """
    return maths(radius, height).sqrt(radius**2 - height**2)


def least_relief(across: N, height: N, pickup: N) -> N:
    """Return the least relief radius [mm], any shape, on which the bit's leading face finds a foot so high or higher.

    The face comes down to it `across` [mm] from the other seat's pivot, any shape, which is `T cos p + b/2`; the foot
    stands at a `height` [mm] above the pivot, picked up at a `pickup` [rad] before top dead centre, any shapes.

    Source: `sin(f + p) = (T cos p + b/2) / Rc` and `y = Rc cos f` of the tooth's foot, solved for the radius:
    `Rc^2 = y^2 + ((T cos p + b/2 - y sin p) / cos p)^2`.
    Valid: for 0 <= p < 90 degrees. The foot comes down to `(T cos p + b/2) sin p`, where it lies on a radius of
    `T cos p + b/2`; a smaller circle has none, so that is the least for any height below.

    Example, the design's check values, first row, a foot at 15.0263 on a relief of 20 + 0.2; and one lower than any:
    >>> least_relief(12.0 + 3.0 / 2, 15.0263, 0.0), least_relief(13.5, 1.0, 0.5)
    (20.2000, 13.5)
    """
    of = maths(across, height, pickup)
    flank = (across - height * of.sin(pickup)) / of.cos(pickup)
    there = height >= across * of.sin(pickup)
    return of.where(there, of.sqrt(flank**2 + height**2), across + 0 * flank)


def carries(radius: N, flank: N, foot: N) -> N:
    """Return how far [mm], any shape, the corner carries a flank until it leaves its foot; 0 where it misses it.

    The key's `radius` [mm], the distance of the `flank` [mm] from the pivot to +x as the bit meets it, the height of
    its `foot` [mm] above the pivot, any shape.

    Source: the corner leaves the foot at half the chord there, `sqrt(R^2 - y^2)`: segments of circles in any handbook.
    Valid: for a foot level with the pivot or above it, and a release past top dead centre.

    Example, the design's check values, first row:
    >>> carries(20.0, 1.5, 15.0263)
    11.6989
    """
    of, reach = maths(radius, flank, foot), half_chord(radius, foot)
    return of.where((foot < radius) & (flank < reach), reach - flank, 0.0 * radius)


def meets_at(half_bit: N, radius: N, flank: N, foot: N) -> N:
    """Return the angle [rad], any shape, at which the bit first touches the flank.

    Half a bit's thickness `half_bit` [mm], the key's `radius` [mm], the distance of the `flank` [mm] from the
    centreline to +x and the height of its `foot` [mm], any shape. Before top dead centre the bit's leading face
    comes to lie on the foot, after it the corner comes against the flank.

    Source: the face at the foot, `x_f cos t - y_f sin t = b/2`, so `t = acos((b/2) / d) - atan2(y_f, x_f)` with
    `d^2 = x_f^2 + y_f^2`, the arc taken from both sides of its triangle; the corner, `R sin(t + beta) = x_f`, the
    sine mechanism of the kinematics texts.
    Valid: for a foot that the bit reaches; where the angle is past the release the bit misses the flank.

    Example, the design's check values, fourth row, whose pick-up is 15 degrees before top dead centre:
    >>> round(meets_at(1.5, 22.0, -3.372, 18.38) * 57.29578, 2)
    -15.0
    """
    of = maths(half_bit, radius, flank, foot)
    face = of.atan2(of.sqrt(flank**2 + foot**2 - half_bit**2), half_bit)
    on_foot = face - of.atan2(foot, flank)
    on_flank = of.asin(flank / radius) - half_angle(half_bit, radius)
    return of.where(on_foot < 0, on_foot, on_flank)


def lets_go_at(half_bit: N, radius: N, foot: N) -> N:
    """Return the angle [rad], any shape, at which the corner leaves the foot of the flank.

    Half a bit's thickness `half_bit` [mm], the key's `radius` [mm], the height of the `foot` [mm], any shape.

    Source: `R cos(t + beta) = y_f`, the corner as high as the foot.
    Valid: for a radius above 0; a foot above the key's circle counts as on it.

    Example, the design's check values, first row:
    >>> round(lets_go_at(1.5, 20.0, 15.0263) * 57.29578, 3)
    36.994
    """
    return maths(radius, foot).acos(foot / radius) - half_angle(half_bit, radius)
