"""The shipped tables: every row has a source and stands up to a second one, and a digit changed anywhere is seen."""

import copy
import random
import re
import shutil
import subprocess
import tomllib
from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from core.errors import BadTableError, BoltwrightError
from core.shipped import shared_table
from core.tables.coefficients import friction_in
from core.tables.general_tolerances import tolerance_classes
from core.tables.hole_and_shaft import clearance, zones
from core.tables.metals import PARTS, all_metals, metals_for, metals_in
from core.tables.rivet_rules import rivet_heads, rivet_rules
from core.tables.sheet_gauges import all_gauges
from core.tables.stock import all_stock, stock_in
from core.tables.twist_drills import all_drills
from tests.published import FRICTION, FRICTION_TABLES, LEFT_OUT
from tests.table_checks import CHECKS, hands_spread, spread

PROSE = ("source", "note", "called")
"""Texts of a row in which a digit is no number of the table."""
ROOT = Path(__file__).parents[1]


class Printed(float):
    """A float that remembers how it is written in the table."""

    text: str

    def __new__(cls, text: str) -> "Printed":
        made = super().__new__(cls, text)
        made.text = text
        return made


def tree(table: str) -> dict[str, Any]:
    return tomllib.loads(shared_table(table).read_text("utf-8"), parse_float=Printed)


def test_every_table_is_checked() -> None:
    assert {path.name for path in (ROOT / "shared").glob("*.toml")} == set(CHECKS)


@pytest.mark.parametrize(
    ("table", "check"), [(t, c) for t, checks in CHECKS.items() for c in checks]
)
def test_against_second_sources(table: str, check: Callable[[Any], None]) -> None:
    check(tree(table))


def test_every_row_names_its_source() -> None:
    found: list[Any] = [*all_drills(), *all_gauges(), *friction_in(), *all_metals(), *all_stock()]
    found += [*tolerance_classes().values(), *zones().values()]
    found += [*rivet_rules().values(), *rivet_heads().values()]
    assert len(found) > 300
    assert all(len(row.source) >= 9 for row in found)


# --- a digit changed in each table in turn ----------------------------------------------------------------------------


def slots(
    node: Any, where: str = ""
) -> Iterator[tuple[str, str, Callable[[str], Callable[[], None]]]]:
    """Yield every number, name and numbered key: where it is, its text, and how to put another in its place.

    What puts another text in place returns what puts the old one back.
    """
    entries = list(node.items() if isinstance(node, dict) else enumerate(node))
    for key, value in entries:
        place = f"{where}/{key}"
        if isinstance(value, dict | list):
            yield from slots(value, place)
        elif key not in PROSE:
            text = value.text if isinstance(value, Printed) else str(value)
            yield place, text, partial(typed, node, key, value)
        if isinstance(node, dict) and str(key).isdecimal():
            yield f"{place} (key)", str(key), partial(renamed, node, key)


def typed(node: Any, key: Any, old: Any, new: str) -> Callable[[], None]:
    kind = float if isinstance(old, float) else type(old)
    return replaced(node, key, old, kind(new))


def replaced(node: Any, key: Any, old: Any, new: Any) -> Callable[[], None]:
    node[key] = new
    return lambda: node.__setitem__(key, old)


def renamed(node: dict[str, Any], old: str, new: str) -> Callable[[], None]:
    before = list(node.items())

    def put(entries: list[tuple[str, Any]]) -> None:
        node.clear()
        node.update(entries)

    put([(new if key == old else key, value) for key, value in before])
    return lambda: put(before)


def unseen(table: str, others: Callable[[int], list[int]]) -> tuple[int, list[str]]:
    """Change each digit of a table to `others` in turn; return how many changes were made and which no check saw."""
    whole = tree(table)
    untouched = copy.deepcopy(whole)
    # or else a check that always fails would see everything
    assert all(passes(check, whole) for check in CHECKS[table])
    tried, missed = 0, []
    for where, text, put in slots(whole):
        for at, digit in enumerate(text):
            if not digit.isdecimal():
                continue
            for other in others(int(digit)):
                back = put(f"{text[:at]}{other}{text[at + 1 :]}")
                tried += 1
                if all(passes(check, whole) for check in CHECKS[table]):
                    missed.append(f"{where}: {text} with {other} at {at}")
                back()
    assert whole == untouched
    return tried, missed


def passes(check: Callable[[Any], None], whole: Any) -> bool:
    try:
        check(whole)
    except (AssertionError, BadTableError):
        return False
    return True


@pytest.mark.parametrize("table", CHECKS)
def test_a_digit_changed_anywhere_is_seen(table: str) -> None:
    chance = random.Random(table)  # noqa: S311 - nothing secret is made here
    tried, missed = unseen(table, lambda digit: [(digit + chance.randint(1, 9)) % 10])
    assert tried >= 10
    assert missed == []


@pytest.mark.slow
@pytest.mark.parametrize("table", CHECKS)
def test_every_other_digit_anywhere_is_seen(table: str) -> None:
    tried, missed = unseen(table, lambda digit: [n for n in range(10) if n != digit])
    assert tried >= 90
    assert missed == []


# --- what the reader refuses by itself --------------------------------------------------------------------------------

GOOD = {"series": [{"stock": "sheet", "unit": "mm", "sizes": [1.0, 2.0], "source": "a handbook"}]}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"source": None}, "series sheet has no source"),
        ({"source": "  "}, "series sheet has no source"),
        ({"source": 7}, "series sheet has no source"),
        ({"source": "a handbook, page ?"}, "has a source that doubts itself, 'a handbook, page ?'"),
        ({"source": "TODO"}, "doubts itself"),
        ({"source": "unknown"}, "doubts itself"),
        ({"sizes": [1.0, float("nan")]}, "has sizes = nan mm or in, and only 0.001 to 25 can be right"),
        ({"sizes": [1.0, float("inf")]}, "only 0.001 to 25 can be right"),
        ({"sizes": [0.0, 1.0]}, "has sizes = 0 mm or in"),
        ({"sizes": [-1.0, 1.0]}, "has sizes = -1 mm or in"),
        ({"sizes": [1.0, 200.0]}, "has sizes = 200 mm or in"),
        ({"sizes": [1.0, True]}, "has sizes = True, which is no number"),
        ({"sizes": [1.0, "2"]}, "has sizes = '2', which is no number"),
        ({"sizes": [2.0, 1.0]}, "has thickness 1 after 2: they do not rise"),
        ({"sizes": [1.0, 1.0]}, "they do not rise"),
        ({"sizes": None}, "lacks sizes"),
        ({"unit": None}, "lacks unit"),
        ({"unit": " "}, "has an empty unit"),
        ({"weight": 3.0}, "has weight, which is no column of this table"),
    ],
)  # fmt: skip
def test_a_bad_row_is_refused_by_name(change: dict[str, Any], says: str) -> None:
    stock_in(GOOD)
    row = {**GOOD["series"][0], **change}
    bad = {"series": [{key: value for key, value in row.items() if value is not None}]}
    with pytest.raises(BadTableError) as refusal:
        stock_in(bad)
    assert isinstance(refusal.value, BoltwrightError)
    said = str(refusal.value)
    assert said.startswith("The shipped table stock.toml is not to be relied on: series sheet ")
    assert says in said
    assert said.endswith(".")


def test_a_table_that_is_no_table_is_refused() -> None:
    wrong: tuple[dict[str, Any], ...] = (
        {},
        {"series": []},
        {"series": [3]},
        {"serie": GOOD["series"]},
    )
    for bad in wrong:
        with pytest.raises(BadTableError, match=r"stock\.toml"):
            stock_in(bad)


def test_the_file_itself_is_refused_in_a_sentence(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from core.tables import reading

    broken = tmp_path / "stock.toml"
    broken.write_text("[[series]\n", "utf-8")
    monkeypatch.setattr(reading, "shared_table", lambda _name: broken)
    reading._load.cache_clear()
    try:
        with pytest.raises(BadTableError, match=r"The shipped table stock\.toml cannot be read: "):
            stock_in()
    finally:
        reading._load.cache_clear()


def spoilt(table: str, pattern: str, instead: str) -> dict[str, Any]:
    text, count = re.subn(pattern, instead, shared_table(table).read_text("utf-8"), count=1)
    assert count == 1
    return tomllib.loads(text)


@pytest.mark.parametrize(
    ("table", "pattern", "instead", "says"),
    [
        ("drills.toml", r'"7", inch = 0\.2010', '"7", inch = 0.2100', "sizes 7 .*do not fall|inch 0.21"),
        ("drills.toml", r'\{ name = "7".*\n', "", "sizes 8 stands where 7 belongs"),
        ("drills.toml", r"step = 0\.1\b", "step = 0.7", "series metric does not come from first to last"),
        ("gauges.toml", r"12 = 0\.1046", "12 = 0.1460", "gauge US Manufacturers' Standard, steel sheet has thickness"),
        ("gauges.toml", r"12 = 0\.1046", "x12 = 0.1046", "has a gauge x12"),
        ("friction.toml", r"low = 0\.10", "low = 0.30", "pair steel on steel, greased has low = 0.3 above high = 0.2"),
        ("hand_torque.toml", r"high = 0\.680", "high = 0.068", "switch has low"),
        # a torque that was typed in N cm is found out
        ("hand_torque.toml", r"high = 0\.680", "high = 10.01", "high = 10.01 N m, and only 0.01 to 10 can be right"),
        ("hand_torque.toml", r"\[wrist\]", "[wrists]", "it has no wrist"),
        ("metals.toml", r"yield_low = 275", "yield_low = 725", "has yield_low = 725 above ultimate_low = 410"),
        ("metals.toml", r"density = 7850", "density = 785", "structural steel S275.* has density = 785 kg/m3"),
        ("metals.toml", r'"bolt", "plate"', '"bolts", "plate"', "is for 'bolts', which is none of bolt"),
        ("tolerances.toml", r"30, plus_minus = 0\.1\b", "30, plus_minus = 0.01", "held closer than a smaller size"),
        ("fits.toml", r"lower = 0, upper = 12", "lower = 0, upper = 2", "closer zone than that of a smaller size"),
        ("fits.toml", r"lower = -8, upper = -2", "lower = -2, upper = -8", "has lower = -2 above upper = -8"),
        ("rivets.toml", r"of_rivet = 8\.0", "of_rivet = 0.8", "has 0.8, less than pitch, least"),
        ("rivets.toml", r"of_hole = 1\.2", "", "is a share of neither"),
        ("rivets.toml", r"height = 0\.7\n", "", "head snap has neither height nor angle"),
    ],
)  # fmt: skip
def test_a_doubtful_number_is_refused_by_table_and_row(
    table: str, pattern: str, instead: str, says: str
) -> None:
    bad = spoilt(table, pattern, instead)
    begins = f"^The shipped table {re.escape(table)} is not to be relied on: "
    with pytest.raises(BadTableError, match=f"{begins}.*({says})"):
        all(check(bad) for check in CHECKS[table])


def test_a_density_from_6000_to_9500_may_stand_and_nothing_beyond() -> None:
    """Zinc die castings are near 6600, lead bronzes near 9300 (from memory): a slip of the decimal point is far off."""
    for good in ("6000", "9500", "7850.5"):
        metals = metals_in(spoilt("metals.toml", r"density = 7850\b", f"density = {good}"))
        assert float(good) in {metal.density for metal in metals}
    for bad in ("5999", "9501"):
        with pytest.raises(BadTableError, match=f"density = {bad} kg/m3, and only 6000 to 9500 "):
            metals_in(spoilt("metals.toml", r"density = 7850\b", f"density = {bad}"))


# --- GNU units, which most of the sizes come from ---------------------------------------------------------------------


@pytest.mark.skipif(shutil.which("units") is None, reason="the program `units` is not installed")
def test_against_gnu_units() -> None:
    asked, wanted = [], []
    for drill in all_drills():
        if drill.kind in ("number", "letter"):
            name = drill.name.split()[-1]
            asked += [f"drillgauge({name})" if drill.kind == "number" else f"drill{name}", "mm"]
            wanted.append((drill.diameter, 1e-6))
    functions = {
        "US Manufacturers' Standard": "stdgauge",
        "AWG (B&S)": "wiregauge",
        "British SWG": "brwiregauge",
    }
    for gauge in all_gauges():
        if gauge.name in functions:
            asked += [f"{functions[gauge.name]}({gauge.number})", "mm"]
            # half a unit in the last place that our table has: four of an inch, three of a millimetre
            wanted.append(
                (gauge.thickness, 0.5e-4 * 25.4 if gauge.name.startswith("US") else 0.5e-3)
            )
    command = ["units", "--terse", "--one-line", "--digits", "12"]
    done = subprocess.run(
        command, input="\n".join(asked), capture_output=True, text=True, check=True
    )
    found = [float(line) for line in done.stdout.split()]
    assert len(found) == len(wanted) == 80 + 26 + 63
    for number, (size, within) in zip(found, wanted, strict=True):
        assert abs(number - size) <= within * 1.0001


# --- what is asked of the tables --------------------------------------------------------------------------------------


def test_every_part_has_a_metal_and_the_low_end_is_the_lower() -> None:
    for part in PARTS:
        assert metals_for(part)
    for metal in all_metals():
        assert metal.yield_low <= (metal.yield_high or metal.yield_low)
        assert metal.yield_low < metal.ultimate_low <= (metal.ultimate_high or metal.ultimate_low)
        assert 60e3 < metal.modulus_low <= metal.modulus_high < 230e3


def test_tolerances_at_the_ends_of_their_bands() -> None:
    # ISO 2768-1: over the one, up to and including the other
    medium, rough = tolerance_classes()["m"], tolerance_classes()["v"]
    assert [medium.of(s) for s in (0.49, 0.5, 3, 6, 6.01, 30, 30.01, 120, 400, 400.1)] == [
        None, 0.1, 0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.5, None,
    ]  # fmt: skip
    assert [rough.of(size) for size in (0.2, 1.0, 3.0, 3.01, 6.0)] == [None, None, None, 0.5, 0.5]


def test_limits_and_clearances_at_the_ends_of_their_bands() -> None:
    assert zones()["H7"].limits(6.0) == pytest.approx((6.0, 6.012))
    assert zones()["H7"].limits(6.01) == pytest.approx((6.01, 6.025))
    assert zones()["g6"].limits(3.0) == pytest.approx((2.992, 2.998))
    assert zones()["g6"].limits(30.5) is None
    assert zones()["g6"].limits(0.0) is None
    assert clearance("H7", "h6", 6.0) == pytest.approx((0.0, 0.020))
    assert clearance("H11", "g6", 40.0) is None


def test_stock_rises_by_about_a_quarter() -> None:
    for each in all_stock():
        steps = [thicker / thinner for thinner, thicker in pairwise(each.thicknesses)]
        assert all(1.1 < step < 1.6 for step in steps)


def test_what_is_left_out_of_a_range_lies_outside_it_and_is_printed() -> None:
    ranges = {(row.metals, row.condition): row for row in friction_in()}
    printed = {(*r.ours, r.table, value) for r in FRICTION for value in r.values}
    for (metals, condition, table, value), reason in LEFT_OUT.items():
        assert (metals, condition, table, value) in printed
        row = ranges[metals, condition]
        assert not row.low <= value <= row.high
        assert reason


def test_the_spread_of_what_is_published_is_written_down() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for pair, ours, printed in (*spread(), *hands_spread()):
        assert f"| {pair} | {ours} | {printed} |" in page
    for letter, name in FRICTION_TABLES.items():
        assert f"{letter}: {name}" in page
