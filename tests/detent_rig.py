"""A bolt on its guides under a spring's tip in a rigid-body engine, with Coulomb friction: it knows no formula."""

import math
from collections.abc import Callable, Iterable, Sequence

import pymunk

STEP = 2e-4
HEAVY = 1.0
"""Mass [kg] of bolt and tip in the engine: so heavy that in one step nothing moves farther than its contacts bear.

Ten grams, as a bolt weighs, would go a tenth of a millimetre in a step under the forces here, and come to lie in
another place than it was let go.
"""
Corners = Sequence[tuple[float, float]]


def settles(
    bolt: Iterable[Corners], guides: Iterable[Corners], *, moved: float, tip: tuple[float, float, float], mu: float,
    press: Callable[[float], float], push: float = 0.0, slowly: bool = False, seconds: float = 1.6, beyond: float = 5.0,
) -> float:  # fmt: skip
    """Return where a bolt of convex pieces comes to lie [mm] that is let go when it has `moved` so far [mm].

    It slides on `guides`; the `tip` is a disc, by its middle's place and its radius [mm], that moves up and down only
    and is pressed down by `press` [N] of its height [mm]. Friction `mu` on both. A `push` [N] draws the bolt to +x;
    `slowly`, it grows by and by. It ends where the bolt is `beyond` so far [mm].
    """
    space = pymunk.Space()
    space.iterations = 80
    space.collision_slop = 1e-4
    space.collision_bias = 0.0
    # all goes as if through oil: a bolt that ran up would carry itself over a ramp's end that its push does not climb
    space.damping = 1e-25
    body, point = pymunk.Body(HEAVY, math.inf), pymunk.Body(HEAVY, math.inf)
    body.position = (moved, 0.0)
    x, y, radius = tip
    point.position = (x, y)
    shapes: list[pymunk.Shape] = [pymunk.Poly(body, list(corners)) for corners in bolt]
    shapes += [pymunk.Poly(space.static_body, list(corners)) for corners in guides]
    shapes.append(pymunk.Circle(point, radius))
    for shape in shapes:
        shape.friction, shape.elasticity = math.sqrt(mu), 0.0
    upright = pymunk.GrooveJoint(space.static_body, point, (x, y - 50), (x, y + 50), (0, 0))
    space.add(body, point, upright, *shapes)
    steps = int(seconds / STEP)
    for k in range(steps):
        share = min(2 * k / steps, 1.0) if slowly else 1.0
        # forces are per mm here: the engine's unit of length is a mm, of force kg mm / s2
        point.force = (0.0, -1000.0 * press(point.position.y))
        body.force = (1000.0 * push * share, 0.0)
        space.step(STEP)
        if abs(body.position.x) > beyond:
            break
    return float(body.position.x)
