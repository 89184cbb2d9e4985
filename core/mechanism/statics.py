"""The bolt in balance while it slides: three equations, four sign cases, or it jams.

Everything is seen so that the bolt slides to +x: the caller mirrors the other stroke. Quasi-static: nothing is
accelerated. The contact gives `N (n + mu t)`; each guide a reaction V, up positive, with friction `mu |V|`
along -x. The signs of the two reactions make four linear cases in N, V_f and V_r; the consistent one with
N >= 0 holds. Where none does, friction in the guides grows as fast as the push: the bolt jams.

Source: equilibrium of a rigid body with Coulomb friction (any text of engineering mechanics). Shape (c, n)
below is c friction cases by n places along the stroke.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.maths import Array

_FRONT = np.array([1.0, 1.0, -1.0, -1.0])[:, None, None]
_REAR = np.array([1.0, -1.0, 1.0, -1.0])[:, None, None]
_ROUNDING = 1e-9
"""Share of the forces by which a reaction of the wrong sign may be rounding about zero."""


@dataclass(frozen=True)
class Contact:
    """Where and which way the key pushes, each of shape (n,) [mm]; directions are unit vectors.

    `n` is the way of the push, `t` the way in which friction drags the bolt along.
    """

    x: Array
    y: Array
    nx: Array
    ny: Array
    tx: Array
    ty: Array


@dataclass(frozen=True)
class Bearings:
    """Where the two guides bear on the bolt: `x` of shape (n,), heights of their middles [mm]."""

    front_x: Array
    rear_x: Array
    front_y: float
    rear_y: float

    @property
    def span(self) -> Array:
        """Distance between the two, shape (n,)."""
        return np.abs(self.front_x - self.rear_x)

    @property
    def middle(self) -> float:
        """Height of the guides' middle."""
        return (self.front_y + self.rear_y) / 2


@dataclass(frozen=True)
class Applied:
    """The sum of the loads: force [N] to +x, force up, moment about the pivot [N mm], anticlockwise."""

    fx: Array
    fy: Array
    moment: Array


@dataclass(frozen=True)
class Balance:
    """Forces [N] and torque on the key [N mm], each of shape (c, n); NaN where the bolt jams."""

    push: Array
    front: Array
    rear: Array
    torque: Array
    jams: NDArray[np.bool_]


def balance(contact: Contact, bearings: Bearings, applied: Applied, mu: Array) -> Balance:
    """Return what slides the bolt, at coefficients of friction `mu`, shape (c, 1).

    Where more than one case is consistent the least push counts: it is reached first as the hand
    presses on. The torque is `N (y n'_x - x n'_y)`, `n' = n + mu t`, clockwise.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        px, py = contact.nx + mu * contact.tx, contact.ny + mu * contact.ty
        turn = contact.x * py - contact.y * px
        f_drag, r_drag = -mu * _FRONT, -mu * _REAR
        f_turn = bearings.front_x + mu * _FRONT * bearings.front_y
        r_turn = bearings.rear_x + mu * _REAR * bearings.rear_y
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
        good = (push >= slack) & (_FRONT * front >= slack) & (_REAR * rear >= slack)
    good &= np.isfinite(size)
    case = np.argmin(np.where(good, push, np.inf), axis=0)
    rows, columns = np.ogrid[: case.shape[0], : case.shape[1]]
    jams = ~good.any(axis=0)

    def chosen(values: Array) -> Array:
        return np.where(jams, np.nan, values[case, rows, columns])

    push = chosen(push)
    torque = push * (contact.y * px - contact.x * py)
    return Balance(push, chosen(front), chosen(rear), torque, jams)
