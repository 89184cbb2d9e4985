"""The rim strip, the weights, and what is cut from the stock at hand or bought.

The strip's length is integrated along its neutral line, point by point, and for smooth outlines held against shapely's
offset curves; weights come of shapely's areas; nested pieces are laid out as shapely's boxes.
"""

import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon, box

from core.geometry.path import Arc, Path
from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.lock.row_changes import made_row, rows_of, with_row
from core.lock.rows.offcuts import Offcut
from core.parts.plate import plate_outline
from core.sheets.buying import SAW_CUT, blanks, buying_tables, fits_metal, plan, strip_for
from core.sheets.cutter import flat_parts
from core.sheets.rim import Rim, neutral_share, rim, rim_table
from core.sheets.weights import area, metal_like, weight, weights_table
from tests.designs import OUTLINES, plausible, seeded
from tests.sheet_reading import ASKEW, SAMPLES

LOCKS = [*SAMPLES, ASKEW, *(plausible(810 + n, outline=name) for n, name in enumerate(OUTLINES))]


def integrated(path: Path, thickness: float) -> float:
    """Return the length of the neutral line: small steps along each edge, moved in from the outer face."""
    around = path.reversed() if path.signed_area() > 0 else path
    total = 0.0
    for segment in around.segments:
        ends = Path((segment,)).points(1e-5)
        points = np.vstack([ends, [segment.end]])
        if isinstance(segment, Arc):
            outwards = segment.turn == "cw"
            inner = max(segment.radius - thickness, 0.0) if outwards else segment.radius
            away = inner + neutral_share(inner, thickness) * thickness
            from_middle = points - np.array(segment.centre)
            points = np.array(segment.centre) + from_middle * (away / segment.radius)
        total += float(np.hypot(*np.diff(points, axis=0).T).sum())
    return total


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: f"{lock.title} {lock.plate.outline}")
def test_the_strip_is_as_long_as_its_neutral_line(lock: Lock) -> None:
    layout = Layout(lock)
    made = rim(layout)
    path = plate_outline(layout).path
    assert made.length == pytest.approx(integrated(path, lock.plate.rim), rel=1e-5)
    assert made.stretches[0].begin == 0.0
    for one, other in zip(made.stretches, made.stretches[1:], strict=False):
        assert other.begin == pytest.approx(one.begin + one.length)
    # once round is one whole turn, whatever the outline
    assert math.degrees(sum(s.turn for s in made.stretches)) == pytest.approx(360.0, abs=1.0)


@pytest.mark.parametrize("outline", ["round", "oval"])
def test_bent_in_wide_arcs_the_strip_is_its_middle_line(outline: str) -> None:
    # a bend of more than five times the thickness has its neutral line in the middle
    lock = plausible(820, outline=outline).with_value("plate.rim", 2.0)
    layout = Layout(lock)
    middle = Polygon(plate_outline(layout).path.points(1e-4)).buffer(-1.0, quad_segs=512)
    assert rim(layout).length == pytest.approx(middle.exterior.length, rel=1e-4)


@pytest.mark.parametrize(
    ("ratio", "share"), [(5.0, 0.5), (8.0, 0.5), (1.0, 0.325), (0.5, 0.2497), (2.0, 0.4003)]
)
def test_the_neutral_line_lies_as_the_standard_has_it(ratio: float, share: float) -> None:
    # DIN 6935: k = 0.65 + 0.5 lg(r/s) up to r/s = 5, then 1; k/2 of the thickness (memory)
    assert neutral_share(3 * ratio, 3.0) == pytest.approx(share, abs=1e-3)


def test_a_strip_cut_at_the_mark_begins_there() -> None:
    made = rim(Layout(SAMPLES[0]))
    assert made.at_mark
    assert [s.radius for s in made.stretches][:2] == [None, 0.0]
    assert made.stretches[0].length == pytest.approx(made.stretches[-1].length)
    assert sum(s.length == 0.0 for s in made.stretches) == 3
    table = rim_table(Layout(SAMPLES[1]))
    assert len(table.rows) == 1  # a round plate is one bend
    assert "360.0 degrees" in table.rows[0][2]


def test_without_a_rim_there_is_no_strip() -> None:
    layout = Layout(SAMPLES[0].with_value("plate.rim", 0.0))
    assert rim(layout) == Rim((), True)
    assert rim_table(layout).rows == ()


# weights


@pytest.mark.parametrize("lock", LOCKS[:6], ids=lambda lock: lock.title)
def test_weights_are_those_of_the_areas(lock: Lock) -> None:
    layout = Layout(lock)
    for flat in flat_parts(layout):
        solid = polygon(flat.outline, 1e-4)
        for hole in flat.holes:
            solid = solid.difference(polygon(hole, 1e-4))
        assert area(flat) == pytest.approx(solid.area, rel=1e-4)
    assert len(weights_table(layout).rows) == len(flat_parts(layout)) + 1


def test_the_bolt_of_the_demo_weighs_what_the_check_values_say() -> None:
    # the design's check values: 8.752 g in brass, counted at 8500 kg/m3
    whole = SAMPLES[0].with_value("detent.kind", "as felt")  # before its notches are filed
    bolt = next(flat for flat in flat_parts(Layout(whole)) if flat.name == "bolt")
    brass = metal_like("free-cutting brass")
    grams = weight(area(bolt) * bolt.thickness, brass)
    assert grams * 8500 / brass.density == pytest.approx(8.752, abs=2e-3)


# stock


def with_offcuts(lock: Lock, *sizes: tuple[float, float, float, str]) -> Lock:
    for name, (long, wide, thickness, metal) in zip("abcdefgh", sizes, strict=False):
        values = {"long": long, "wide": wide, "thickness": thickness, "metal": metal}
        lock = with_row(lock, "offcuts", name, made_row("offcuts", name, values))
    return lock


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.first(8)
def test_pieces_lie_apart_on_their_stock_and_none_is_forgotten(seed: int) -> None:
    rng = seeded(f"stock {seed}")
    lock = plausible(830 + seed)
    thick = [lock.plate.thickness, lock.bolt.thickness, 1.5]
    sizes = [
        (
            rng.uniform(20, 300),
            rng.uniform(10, 150),
            rng.choice(thick),
            rng.choice(["steel", "brass"]),
        )
        for _ in range(rng.randint(1, 4))
    ]
    layout = Layout(with_offcuts(lock, *sizes))
    found, offcuts = plan(layout), rows_of(layout.lock, Offcut)
    assert sorted([c.blank.what for c in found.cuts] + [b.what for b in found.to_buy]) == sorted(
        b.what for b in blanks(layout)
    )
    for name, offcut in offcuts.items():
        here = [cut for cut in found.cuts if cut.offcut == name]
        sheet = box(0, 0, max(offcut.long, offcut.wide), min(offcut.long, offcut.wide))
        laid = [box(c.at[0], c.at[1], c.at[0] + c.blank.long, c.at[1] + c.blank.wide) for c in here]
        assert all(fits_metal(offcut, cut.blank) for cut in here)
        assert all(sheet.buffer(1e-9).covers(piece) for piece in laid)
        for one, other in combinations(laid, 2):
            assert shapely.distance(one, other) >= SAW_CUT - 1e-9
        # a blank that is left to buy would not have fitted on an empty piece beside nothing
        if not here:
            assert not any(
                fits_metal(offcut, b) and b.long <= sheet.bounds[2] and b.wide <= sheet.bounds[3]
                for b in found.to_buy
            )


def test_stock_at_hand_is_used_before_any_is_bought() -> None:
    lock = SAMPLES[0]
    (buy,) = buying_tables(Layout(lock))
    assert any("plate 1, plate 2" in row[2] for row in buy.rows)
    at_hand, buy = buying_tables(
        Layout(with_offcuts(lock, (200.0, 100.0, 2.0, "steel"), (80.0, 30.0, 3.0, "brass")))
    )
    assert [row[:2] for row in at_hand.rows] == [("b", "bolt"), ("a", "plate 1"), ("a", "plate 2")]
    assert not any("plate" in row[2] for row in buy.rows)
    (nothing, _) = buying_tables(Layout(with_offcuts(lock, (20.0, 10.0, 9.0, "steel"))))
    assert nothing.rows == ()
    assert nothing.notes[-1] == "Nothing fits on it."


def test_a_strip_to_buy_has_its_saw_cuts_counted_in() -> None:
    plates = [b for b in blanks(Layout(SAMPLES[0])) if b.what.startswith("plate")]
    long, wide = strip_for(plates)
    # 92 + 6 and 76 + 6 with 3 mm for saw and file on each side
    assert (long, wide) == pytest.approx((2 * 98.0 + 1.5, 82.0))
