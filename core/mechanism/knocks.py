"""What moves a bolt that only its detent holds: a steady shake, a fall that stops short, a pull on the shackle.

Forces in N, lengths in mm, masses in g; numbers, or arrays that broadcast. A fall is taken as stopped at once, the
bolt flying on along its line: the worst case.
"""

from dataclasses import dataclass
from typing import Generic

from core.mechanism.maths import N, maths

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s2] (ISO 80000-3)."""


def mass(area: N, thickness: N, density: N) -> N:
    """Return the mass [g], any shape, of a plate.

    Of an `area` [mm2], a `thickness` [mm] and a `density` [kg/m3], any shapes.

    Source: volume by density.
    Valid: for a plate of one thickness.

    Example, the design's demo bolt in brass, 343.6 mm2 of 3 mm: 8.752 g:
    >>> round(mass(343.6, 3.0, 8490.0), 3)
    8.751
    """
    return area * thickness * density * 1e-6


def shaken_loose(force: N, grams: N) -> N:
    """Return the acceleration [none], any shape, as a multiple of free fall, that a `force` [N] can just not give.

    Given to a mass of so many `grams` [g], any shapes.

    Source: Newton's second law.
    Valid: for a shake along the bolt's line that lasts.

    Example, the design's: 8.752 g that leave at 4.0716 and 4.9774 N:
    >>> round(shaken_loose(4.0716, 8.752), 1), round(shaken_loose(4.9774, 8.752), 1)
    (47.4, 58.0)
    """
    return force / (grams * 1e-3 * GRAVITY)


def fall_that_frees(work: N, grams: N) -> N:
    """Return the height of a fall [mm], any shape, after which a stopped lock's bolt has just the `work` [N mm] in it.

    A bolt of so many `grams` [g], any shapes.

    Source: energy, `m g h`.
    Valid: for a fall along the bolt's line that ends at once.

    Example, the design's: 8.752 g dropped 59 mm bring 5.064 N mm:
    >>> round(fall_that_frees(5.0638, 8.752), 1)
    59.0
    """
    return work / (grams * 1e-3 * GRAVITY)


def speed_from(work: N, grams: N) -> N:
    """Return the speed [m/s], any shape, that a `work` [N mm] gives a bolt of so many `grams` [g], any shapes.

    Source: energy, `m v^2 / 2`.
    Valid: for a bolt that starts from rest.

    Example, by hand: 4 N mm in 8 g are 1 m/s:
    >>> speed_from(4.0, 8.0)
    1.0
    """
    of = maths(work, grams)
    speed: N = of.sqrt(2 * work / grams)
    return speed


@dataclass(frozen=True)
class Pulled(Generic[N]):
    """A nose held in two guides, pushed square to the bolt's line by a pulled shackle.

    It is pushed `at` [mm] from the centreline, any shape, and the guides bear at `front` and `rear` [mm] from it, any
    shape: all to +x where the bolt unlocks.

    Source: a beam on two supports with Coulomb friction at each of the three places.
    Valid: for guides that are apart.

    Example, the design's: 100 N at -26.5, guides at -20 and 22, friction .19: 43.88 N along the bolt:
    >>> nose = Pulled(at=-26.5, front=-20.0, rear=22.0)
    >>> tuple(100 * one for one in nose.borne), 100 * nose.holds(0.19)
    ((-115.476, 15.476), 43.881)
    >>> nose.share, nose.backs_out(0.19) * 57.29578
    (1.3095, 24.73)
    """

    at: N
    front: N
    rear: N

    @property
    def borne(self) -> tuple[N, N]:
        """What the front and the rear guide bear, up, for each N of the pull [none], its shape."""
        rear = (self.front - self.at) / (self.rear - self.front)
        return -1 - rear, rear

    @property
    def share(self) -> N:
        """What both guides together bear for each N of the pull [none], its shape."""
        front, rear = self.borne
        both: N = abs(front) + abs(rear)
        return both

    def holds(self, mu: N) -> N:
        """Return the force along the bolt that friction alone holds for each N of the pull [none], any shape.

        At a friction `mu` [none], any shape, of the guides and of the shackle on a square nose.
        """
        return mu * (1 + self.share)

    def backs_out(self, mu: N) -> N:
        """Return the slope [rad], any shape, of a worn nose from which on any hard pull pushes the bolt back.

        At a friction `mu` [none], any shape: where `tan(slope - rho)`, the push along the bolt for each N of the pull,
        with the nose's friction in it, is what the guides' friction holds. The detent adds a few N, whatever the pull.
        """
        of = maths(self.at, mu)
        slope: N = of.atan2(mu, 1.0) + of.atan2(mu * self.share, 1.0)
        return slope
