"""The bolt in balance while it slides: three equations, four sign cases, or it jams, or runs by itself.

Everything is seen so that the bolt slides to +x: the caller mirrors the other stroke. Quasi-static: nothing is
accelerated. The contact gives `N (n + mu t)`; each guide a reaction V, up positive, with friction `mu |V|`
along -x. The signs of the two reactions make four linear cases in N, V_f and V_r; the consistent one with
N >= 0 holds. Where none does, friction in the guides grows as fast as the push: the bolt jams. Where the loads alone
overcome the friction that they make, the bolt runs ahead of the key, which has nothing to do: a detent draws it so.

Source: equilibrium of a rigid body with Coulomb friction (any text of engineering mechanics). All arrays
broadcast: c friction cases of shape (c, 1) and n places along the stroke of shape (n,) give (c, n).
"""

from dataclasses import dataclass

import numpy as np

from core.mechanism.maths import Array, Number, Truths

_FRONT = np.array([1.0, 1.0, -1.0, -1.0])
_REAR = np.array([1.0, -1.0, 1.0, -1.0])
_ROUNDING = 1e-9
"""Share of the forces by which a reaction of the wrong sign may be rounding about zero."""


@dataclass(frozen=True)
class Contact:
    """Where and which way the key pushes.

    At `x`, `y` [mm], any shape, along the unit vector `nx`, `ny` [none] of the push, while friction drags the bolt
    along the unit vector `tx`, `ty` [none].

    Source: the module's.
    Valid: seen so that the bolt slides to +x.

    Example, the design's statics: on the flank n = (1, 0) and t = (0, -1):
    >>> here = Contact(*(np.array([v]) for v in (1.5, 20.0, 1.0, 0.0, 0.0, -1.0)))
    >>> (here.nx + 0.2 * here.tx).tolist(), (here.ny + 0.2 * here.ty).tolist()
    ([1.0], [-0.2])
    """

    x: Array
    y: Array
    nx: Array
    ny: Array
    tx: Array
    ty: Array


@dataclass(frozen=True)
class Bearings:
    """Where the two guides bear on the bolt: at `front_x`, `rear_x` [mm], any shape.

    The heights of their middles are `front_y`, `rear_y` [mm], any shape.

    Source: the module's; for the cocking ratio the plain-bearing makers' 2:1 rule.
    Valid: for guides that are apart.

    Example, that rule: a push offset by twice the guides' distance binds from a friction of 0.25 on:
    >>> guides = Bearings(np.array([-10.0]), np.array([10.0]), 21.0, 21.0)
    >>> guides.span.tolist(), guides.middle, guides.cocking(np.array([-19.0])).tolist()
    ([20.0], 21.0, [0.25])
    >>> [force.tolist() for force in guides.resting(np.array([4.0]), np.array([20.0]))]
    [[1.0], [3.0]]
    """

    front_x: Array
    rear_x: Array
    front_y: Number
    rear_y: Number

    @property
    def span(self) -> Array:
        """Distance [mm] between the two, shape of theirs."""
        return np.abs(self.front_x - self.rear_x)

    @property
    def middle(self) -> Number:
        """Height [mm] of the guides' middle, shape of theirs."""
        return (self.front_y + self.rear_y) / 2

    def cocking(self, height: Array) -> Array:
        """Return the friction [none], any shape, at which the guides alone would bind the bolt: L / (2 d).

        L is from guide to guide, d from their middle to a push at a `height` [mm], any shape; infinite for a push at
        their own height.
        """
        with np.errstate(divide="ignore"):
            return np.asarray(self.span / (2 * np.abs(self.middle - height)))

    def resting(self, weight: Array, turning: Array) -> tuple[Array, Array]:
        """Return the reactions [N] of front and rear guide, up, shape of all, while nothing pushes along.

        To a `weight` [N], any shape, with a moment `turning` [N mm], any shape, clockwise about x = 0: a beam on two
        supports.
        """
        rear = (turning - self.front_x * weight) / (self.rear_x - self.front_x)
        return weight - rear, rear


@dataclass(frozen=True)
class Applied:
    """The sum of the loads: force `fx` [N] to +x, `fy` [N] up, `moment` [N mm] about the pivot, any shape.

    The moment is anticlockwise.

    Source: the module's.
    Valid: for loads that do not depend on the push.

    Example, a pull of 3 N to -x on a bolt line 24 mm up, the design's statics:
    >>> Applied(fx=np.array([-3.0]), fy=np.zeros(1), moment=np.array([24 * 3.0])).moment.tolist()
    [72.0]
    """

    fx: Array
    fy: Array
    moment: Array


@dataclass(frozen=True)
class Balance:
    """Forces and torque of any one shape, NaN where the bolt jams.

    The `push` [N] of the key, the reactions `front`, `rear` [N] of the guides, the `torque` [N mm] on the key, and
    whether the bolt `jams` [none] or `runs` [none] by itself, of any shape.

    Source: the module's.
    Valid: as `balance`.

    Example, as `balance` gives it for a bolt that jams:
    >>> none = np.array([np.nan])
    >>> bool(Balance(none, none, none, none, np.array([True]), np.array([False])).jams[0])
    True
    """

    push: Array
    front: Array
    rear: Array
    torque: Array
    jams: Truths
    runs: Truths


@dataclass(frozen=True)
class Sliding:
    """What the loads alone do to a bolt that slides to +x, of any one shape.

    `ahead` [N], any shape, is what is left of them along it, below 0 where it needs a push, and `front`, `rear` [N],
    any shape, what the guides bear then; NaN where no signs are consistent.

    Source: the module's.
    Valid: as `sliding`.

    Example, as there:
    >>> Sliding(np.array([0.5]), np.array([1.0]), np.array([1.0])).ahead.tolist()
    [0.5]
    """

    ahead: Array
    front: Array
    rear: Array


def sliding(bearings: Bearings, applied: Applied, mu: Array) -> Sliding:
    """Return what the loads alone do to a bolt that slides, shape of everything given together.

    With `bearings`, what is `applied`, and the friction `mu` [none], any shape, of the guides.

    Source: the module's, without a push: two equations for the reactions in each of the four cases; of several that are
    consistent the one that leaves least.
    Valid: for a bolt that slides so slowly that nothing is accelerated.

    Example, by hand: 2 N down midway between the guides, friction .25 in them takes 0.5 of 1 N along:
    >>> guides = Bearings(np.array([-10.0]), np.array([10.0]), 0.0, 0.0)
    >>> pulled = Applied(fx=np.array([1.0]), fy=np.array([-2.0]), moment=np.zeros(1))
    >>> found = sliding(guides, pulled, np.array([[0.25]]))
    >>> found.ahead.tolist(), found.front.tolist(), found.rear.tolist()
    ([[0.5]], [[1.0]], [[1.0]])
    """
    shape = np.broadcast_shapes(*(np.shape(v) for v in (bearings.front_x, applied.fx, mu)))
    up_front, up_rear = (signs.reshape(-1, *[1] * len(shape)) for signs in (_FRONT, _REAR))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        f_turn, r_turn = _turning(bearings, mu, up_front, up_rear)
        rear = (f_turn * applied.fy - applied.moment) / (r_turn - f_turn)
        front = -applied.fy - rear
        ahead = applied.fx - mu * (np.abs(front) + np.abs(rear))
        slack = -_ROUNDING * (np.abs(front) + np.abs(rear))
        good = (up_front * front >= slack) & (up_rear * rear >= slack)
    good &= np.isfinite(ahead)
    case = np.argmin(np.where(good, ahead, np.inf), axis=0)[None]
    some = good.any(axis=0)

    def chosen(values: Array) -> Array:
        whole = np.broadcast_to(values, good.shape)
        return np.where(some, np.take_along_axis(whole, case, axis=0)[0], np.nan)

    return Sliding(chosen(ahead), chosen(front), chosen(rear))


def _turning(bearings: Bearings, mu: Array, up_front: Array, up_rear: Array) -> tuple[Array, Array]:
    """Return the moment [mm] about x = 0, y = 0 of each guide's reaction and its friction, for each N that it bears."""
    front = bearings.front_x + mu * up_front * bearings.front_y
    return front, bearings.rear_x + mu * up_rear * bearings.rear_y


def balance(contact: Contact, bearings: Bearings, applied: Applied, mu: Array) -> Balance:
    """Return what slides the bolt, shape of everything given together.

    With a `contact`, `bearings`, what is `applied`, and the friction `mu` [none], any shape, of all surfaces.

    Source: the module's; Cramer's rule. Where more than one case is consistent the least push counts: it is reached
    first as the hand presses on. The torque is `N (y n'_x - x n'_y)`, `n' = n + mu t`, clockwise.
    Valid: while the bolt slides, without inertia.

    Example, the 2:1 rule of the plain-bearing makers, a push 1.9 and 2.1 times the guides' distance off, mu 0.25:
    >>> off, one, no = np.array([-38.0, -42.0]), np.ones(2), np.zeros(2)
    >>> guides = Bearings(np.array([-10.0]), np.array([10.0]), 0.0, 0.0)
    >>> pull = Applied(np.array([-1.0]), np.zeros(1), np.zeros(1))
    >>> balance(Contact(no, off, one, no, no, no), guides, pull, np.array([[0.25]])).push.tolist()
    [[20.0, nan]]
    """
    shape = np.broadcast_shapes(
        *(np.shape(v) for v in (contact.x, bearings.front_x, applied.fx, mu))
    )
    up_front, up_rear = (signs.reshape(-1, *[1] * len(shape)) for signs in (_FRONT, _REAR))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        px, py = contact.nx + mu * contact.tx, contact.ny + mu * contact.ty
        turn = contact.x * py - contact.y * px
        f_drag, r_drag = -mu * up_front, -mu * up_rear
        f_turn, r_turn = _turning(bearings, mu, up_front, up_rear)
        # Cramer's rule; the columns are (px, py, turn), (f_drag, 1, f_turn), (r_drag, 1, r_turn)
        a, b, c = -applied.fx, -applied.fy, -applied.moment
        minor_x, minor_y, minor_m = (
            r_turn - f_turn,
            f_turn * r_drag - f_drag * r_turn,
            f_drag - r_drag,
        )
        det = px * minor_x + py * minor_y + turn * minor_m
        push = (a * minor_x + b * minor_y + c * minor_m) / det
        front = (
            px * (b * r_turn - c) + py * (c * r_drag - a * r_turn) + turn * (a - b * r_drag)
        ) / det
        rear = (
            px * (c - b * f_turn) + py * (a * f_turn - c * f_drag) + turn * (b * f_drag - a)
        ) / det
        size = np.abs(push) + np.abs(front) + np.abs(rear)
        slack = -_ROUNDING * size
        good = (push >= slack) & (up_front * front >= slack) & (up_rear * rear >= slack)
    good &= np.isfinite(size)
    case = np.argmin(np.where(good, push, np.inf), axis=0)[None]
    loose = sliding(bearings, applied, mu)
    with np.errstate(invalid="ignore"):
        runs = np.broadcast_to(loose.ahead > 0, good.shape[1:])
    jams = ~good.any(axis=0) & ~runs

    def chosen(values: Array, by_itself: Array) -> Array:
        pushed = np.where(jams, np.nan, np.take_along_axis(values, case, axis=0)[0])
        return np.where(runs, by_itself, pushed)

    push = chosen(push, np.zeros(runs.shape))
    torque = push * (contact.y * px - contact.x * py)
    return Balance(push, chosen(front, loose.front), chosen(rear, loose.rear), torque, jams, runs)
