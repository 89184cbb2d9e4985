"""Checks of the shipped tables against second sources, as functions: quick, so that every digit can be tried.

A check takes the tree of a table (as `tomllib` reads it) and raises AssertionError or a refusal of the reader.
`CHECKS` has them by table. The laws, libraries and lists are named beside each.
"""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any

import pressfit
import steel_sections
from fluids.piping import t_from_gauge

from core.lock.friction import CONDITIONS
from core.lock.friction import METALS as PAIRS
from core.shipped import shared_table
from core.tables.coefficients import friction_in
from core.tables.general_tolerances import tolerances_in
from core.tables.hand_torques import hands_in
from core.tables.hole_and_shaft import zones_in
from core.tables.metals import PARTS, metals_in
from core.tables.rivet_rules import heads_in, rules_in
from core.tables.sheet_gauges import gauges_in
from core.tables.stock import stock_in
from core.tables.twist_drills import drills_in
from tests import published as p

Tree = Mapping[str, Any]
MM = 25.4
BANDS = (3, 6, 30, 120, 400)
FIT_BANDS = (3, 6, 10, 18, 30)


def same(found: float, wanted: float) -> bool:
    """Say whether two numbers are one, but for the rounding of floating point."""
    return abs(found - wanted) <= 1e-9 * max(1.0, abs(wanted))


def drills_by_a_second_list(tree: Tree) -> None:
    inches = {drill.name: drill.diameter / MM for drill in drills_in(tree)}
    wanted = {f"no. {n}": size / 1000 for n, size in enumerate(p.NUMBER_DRILLS, start=1)}
    wanted |= {f"letter {chr(65 + n)}": size / 1000 for n, size in enumerate(p.LETTER_DRILLS)}
    # the trade's rules: fractions are sixty-fourths of an inch, metric drills tenths of a millimetre (BS 328)
    wanted |= {f"{_lowest(n)} in": n / 64 for n in range(1, 33)}
    wanted |= {f"{n / 10:.1f} mm": n / 10 / MM for n in p.METRIC_TENTHS}
    assert inches.keys() == wanted.keys()
    assert all(same(inches[name], size) for name, size in wanted.items())


def _lowest(over: int) -> str:
    under = 64
    while over % 2 == 0:
        over, under = over // 2, under // 2
    return f"{over}/{under}"


def gauges_by_their_laws(tree: Tree) -> None:
    found = {(g.name, g.number): g.thickness for g in gauges_in(tree)}
    wanted = {}
    for number, ounces in p.OUNCES.items():
        inch = 12 / (16 * p.POUNDS_PER_CUBIC_FOOT)
        # by weight, rounded to four places: the US standard gauge, and the same with zinc on it
        wanted["US Manufacturers' Standard", number] = round(ounces * inch, 4) * MM
        wanted["galvanised", number] = round((ounces + p.ZINC_OUNCES) * inch, 4) * MM
        # ASTM B258: 0.460 in for 0000 and 0.005 in for 36, in 39 equal ratios between them
        wanted["AWG (B&S)", number] = round(0.005 * (0.460 / 0.005) ** ((36 - number) / 39) * MM, 3)
        wanted["British SWG", number] = round(p.SWG[number] / 1000 * MM, 3)
    assert found.keys() == wanted.keys()
    assert all(same(found[key], size) for key, size in wanted.items())


def gauges_by_libraries(tree: Tree) -> None:
    for gauge in gauges_in(tree):
        inch = gauge.thickness / MM
        match gauge.name:
            case "AWG (B&S)" | "British SWG":  # `fluids` cites Machinery's Handbook of 2012
                schedule = "AWG" if gauge.name.startswith("AWG") else "BSWG"
                assert abs(inch - _wire(gauge.number, schedule)) < 1.3e-4
            case _:
                material = "galvanized" if gauge.name == "galvanised" else "steel"
                assert same(inch, _sheet(gauge.number, material))
        sold = p.SWG_SOLD.get(gauge.number)
        assert gauge.name != "British SWG" or sold is None or abs(gauge.thickness - sold) < 0.011


@cache
def _wire(number: int, schedule: str) -> float:
    return float(t_from_gauge(number, False, schedule))


@cache
def _sheet(number: int, material: str) -> float:
    return float(steel_sections.gauge(number, material).inch)


def friction_by_published_tables(tree: Tree) -> None:
    ours = {(row.metals, row.condition): row for row in friction_in(tree)}
    assert ours.keys() == {(metals, condition) for metals in PAIRS for condition in CONDITIONS}
    for key, row in ours.items():
        within = [
            (rubbed.table, value)
            for rubbed in p.FRICTION
            if rubbed.ours == key
            for value in rubbed.values
            if (*key, rubbed.table, value) not in p.LEFT_OUT
        ]
        # the ends are the least and the greatest that anybody prints, but for what is left out with a reason
        assert (row.low, row.high) == (min(v for _, v in within), max(v for _, v in within))
        assert len({table for table, _ in within}) >= 2


def hands_by_published_figures(tree: Tree) -> None:
    found = hands_in(tree)
    low, high = (_to_five(p.INCH_POUND * each) for each in p.SWITCH_INCH_POUNDS)
    assert (tree["switch"]["low"], tree["switch"]["high"]) == (low, high)
    men = tree["men"]
    assert (men["mean"], men["spread"], men["people"]) == p.MEN_ON_A_KEY
    # a lock's standard asks for less than the mean man can, and a hand-worked switch for less than any man in twenty
    assert p.LOCK_STANDARD[0] < men["mean"] < p.LOCK_STANDARD[1]
    assert found.easy < 1000 * (men["mean"] - 2 * men["spread"])
    shares = sorted(share for each in p.WOMEN.values() for share in each)
    assert shares[0] <= tree["women"]["share_of_men"] <= shares[-1]
    assert (
        tree["women"]["share_of_men"]
        == p.WOMEN["turning handles, Shih & Wang 1996 (abstract seen)"][0]
    )
    assert found.turn == min(turn for each in p.FOREARM.values() for turn in each)


def _to_five(newton_metres: float) -> float:
    """Round as the standard's figure does, up to the next 5 mN m."""
    return round(-(-newton_metres // 0.005) * 0.005, 3)


def metals_by_published_figures(tree: Tree) -> None:
    found = {(metal.name, metal.temper): metal for metal in metals_in(tree)}
    assert found.keys() == p.METALS.keys()
    assert all(set(metal.parts) <= set(PARTS) for metal in found.values())
    for key, metal in found.items():
        ends = (
            ("yields", metal.yield_low, metal.yield_high),
            ("ultimate", metal.ultimate_low, metal.ultimate_high),
            ("modulus", metal.modulus_low / 1000, metal.modulus_high / 1000),
        )
        for name, low, high in ends:
            printed = [value for tried in p.METALS[key] for value in getattr(tried, name)]
            # an end is a figure that somebody prints, to the rounding from pounds and inches ...
            for end in (low, high):
                assert end is None or any(abs(end / value - 1) < 0.005 for value in printed), (
                    key,
                    name,
                )
            # ... and the figures of others lie within a fifth of our range, but for bars that are no strip
            others = [v for v in printed if not 0.8 * low <= v <= 1.2 * (high or low)]
            assert len(others) <= 1 + (name == "yields"), (key, name, others)
        assert any(tried.density == metal.density for tried in p.METALS[key])
    # which of the printed figures is the end is settled too, to the last digit
    for metal, wanted in zip(found.values(), p.METAL_ENDS, strict=True):
        assert wanted == (
            *(metal.yield_low, metal.yield_high, metal.ultimate_low, metal.ultimate_high),
            *(metal.modulus_low / 1000, metal.modulus_high / 1000, metal.density),
        )


def tolerances_by_a_second_copy(tree: Tree) -> None:
    found = {each.name: dict(each.bands) for each in tolerances_in(tree)}
    assert found.keys() == p.ISO_2768.keys()
    for name, printed in p.ISO_2768.items():
        wanted = {band: value for band, value in zip(BANDS, printed, strict=True) if value}
        assert found[name] == wanted
    # the classes are nested: coarse is never closer than medium, nor medium than fine
    for closer, wider in (("f", "m"), ("m", "c"), ("c", "v")):
        assert all(found[closer][band] <= width for band, width in found[wider].items())


def fits_by_a_library(tree: Tree) -> None:
    found = {zone.name: zone for zone in zones_in(tree)}
    assert found.keys() == {"H7", "H8", "H11", "h6", "g6"}
    for zone in found.values():
        assert zone.of == ("hole" if zone.name.startswith("H") else "shaft")
        assert [band[0] for band in zone.bands] == list(FIT_BANDS)
        for size, low, high in zone.bands:
            assert (round(1000 * low), round(1000 * high)) == _limits(zone.name, size)


@cache
def _limits(name: str, size: float) -> tuple[int, int]:
    """Return the deviations [um] of `pressfit`, whose data were entered from other tables than ours."""
    if name.startswith("H"):
        got = pressfit.fit(f"{name}/h6", size)
        return int(got.hole_ei_um), int(got.hole_es_um)
    got = pressfit.fit(f"H7/{name}", size)
    return int(got.shaft_ei_um), int(got.shaft_es_um)


def fits_by_the_standard_s_formulas(tree: Tree) -> None:
    """ISO 286-1: i = 0.45 D^(1/3) + 0.001 D [um], D the mean of the band; IT6 10 i, IT7 16 i, IT8 25 i, IT11 100 i.

    The fundamental deviation of g is 2.5 D^0.34.
    """
    times = {"H7": 16, "H8": 25, "H11": 100, "h6": 10, "g6": 10}
    for zone in zones_in(tree):
        for (size, low, high), below in zip(zone.bands, (1, *FIT_BANDS), strict=False):
            mean = (size * below) ** 0.5
            width = times[zone.name] * (0.45 * mean ** (1 / 3) + 0.001 * mean)
            # the standard's own rounding reaches a sixth, in the smallest band
            assert abs(1000 * (high - low) - width) <= 0.16 * width
            if zone.name == "g6":
                assert abs(-1000 * high - 2.5 * mean**0.34) < 1.1


def rivets_by_other_rules(tree: Tree) -> None:
    rules, heads = rules_in(tree), heads_in(tree)
    assert {rule.name for rule in rules} == set(p.RIVETS)
    for rule in rules:
        assert same(rule.share, p.RIVETS[rule.name][0])
        assert rule.of_hole == rule.name.endswith("from the hole")
    assert {head.name for head in heads} == set(p.RIVET_HEADS)
    for head in heads:
        assert (head.diameter, head.height, head.angle) == p.RIVET_HEADS[head.name][:3]


def stock_by_preferred_numbers(tree: Tree) -> None:
    found = {(each.stock, each.unit): each for each in stock_in(tree)}
    tens = {round(each * 10**k, 9) for each in p.ROUNDED_TENTH for k in range(-3, 3)}
    # one for each step of 10^(1/10), at most 6 % from it
    for number, rounded in enumerate(p.ROUNDED_TENTH):
        assert abs(rounded / 10 ** (number / 10) - 1) < 0.06
    ends = {
        ("sheet and plate", "mm"): (0.5, 10),
        ("spring strip", "mm"): (0.1, 1.5),
        ("spring strip", "in"): (0.005, 0.06),
    }
    wanted = {key: sorted(t for t in tens if low <= t <= high) for key, (low, high) in ends.items()}
    wanted["plate", "in"] = [n / 16 for n in range(2, 7)]
    # drawn bar by whole millimetres and by sixteenths of an inch
    wanted["round bar", "mm"] = [*map(float, range(3, 11)), 12.0]
    wanted["round bar", "in"] = [n / 16 for n in range(2, 9)]
    assert found.keys() == wanted.keys()
    for key, each in found.items():
        scale = MM if each.unit == "in" else 1.0
        sizes = [thickness / scale for thickness in each.thicknesses]
        assert len(sizes) == len(wanted[key])
        assert all(same(size, want) for size, want in zip(sizes, wanted[key], strict=True))


CHECKS: dict[str, tuple[Callable[[Tree], None], ...]] = {
    "drills.toml": (drills_by_a_second_list,),
    "gauges.toml": (gauges_by_their_laws, gauges_by_libraries),
    "friction.toml": (friction_by_published_tables,),
    "hand_torque.toml": (hands_by_published_figures,),
    "metals.toml": (metals_by_published_figures,),
    "tolerances.toml": (tolerances_by_a_second_copy,),
    "fits.toml": (fits_by_a_library, fits_by_the_standard_s_formulas),
    "rivets.toml": (rivets_by_other_rules,),
    "stock.toml": (stock_by_preferred_numbers,),
}
"""The checks of every shipped table."""


def hands_spread() -> Iterable[tuple[str, str, str]]:
    """Yield for each figure of the hand: what it is, ours, and what others publish."""
    table = tomllib.loads(shared_table("hand_torque.toml").read_text("utf-8"))
    men, shares = table["men"], [share for each in p.WOMEN.values() for share in each]
    turns = [turn for each in p.FOREARM.values() for turn in each]
    low, high = (each * p.INCH_POUND for each in p.SWITCH_INCH_POUNDS)
    switch = table["switch"]
    yield (
        "switch by key, N m",
        f"{switch['low']:g} to {switch['high']:g}",
        f"{low:.3f} to {high:.3f}",
    )
    yield (
        "men on a key, N m",
        f"{men['mean']:g} +- {men['spread']:g}",
        " and ".join(f"{each:g}" for each in p.LOCK_STANDARD)
        + " (EN 1303: to work a key, to be stood; memory)",
    )
    yield (
        "women, share of men",
        f"{table['women']['share_of_men']:g}",
        f"{min(shares):.2f} to {max(shares):.2f}",
    )
    yield (
        "forearm either way, degrees",
        f"{table['wrist']['turn']:g}",
        f"{min(turns)} to {max(turns)}",
    )


def spread() -> Iterable[tuple[str, str, str]]:
    """Yield for each range of friction: pair and condition, ours, and what each published table prints."""
    for row in friction_in():
        printed = [
            f"{rubbed.table} {' '.join(f'{value:g}' for value in rubbed.values)}"
            for rubbed in p.FRICTION
            if rubbed.ours == (row.metals, row.condition)
        ]
        yield f"{row.metals}, {row.condition}", f"{row.low:g} to {row.high:g}", "; ".join(printed)
