"""Lengths and angles as typed and shown.

The inch is 25.4 mm exactly (international yard and pound agreement, 1959; memory). Sums of
fractions are worked out a second time, in rational numbers, from the parts of the text.
"""

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.errors import BadEntryError
from core.units import (
    LONGEST_ENTRY,
    nearest_fraction,
    parse_angle,
    parse_count,
    parse_force,
    parse_length,
    show_angle,
    show_angle_entry,
    show_entry,
    show_length,
    unit_typed,
)

INCH = 25.4
LENGTHS = st.floats(-2000, 2000, allow_nan=False)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("20", 20.0),
        ("20.5 mm", 20.5),
        ("20,5", 20.5),
        (" 20 ", 20.0),
        ("20.", 20.0),
        (".5", 0.5),
        ("2.1 cm", 21.0),
        ("0.02 m", 20.0),
        ("13/16", 13 / 16 * INCH),  # alone, in a mm lock: inches
        ("13/16 in", 13 / 16 * INCH),
        ("13 / 16 IN", 13 / 16 * INCH),
        ('1 3/8"', 1.375 * INCH),
        ("1 3/8", 1.375 * INCH),
        ("1 3/8in", 1.375 * INCH),
        ("1-3/8 in", 1.375 * INCH),
        ("-1-3/8 in", -1.375 * INCH),
        ("1 inch", INCH),
        ("2 inches", 2 * INCH),
        ("0.875\u2033", 0.875 * INCH),
        ("0.875\u201d", 0.875 * INCH),
        ("1\u00a03/8\u202fin", 1.375 * INCH),
        ("3\u20444 in", 0.75 * INCH),
        ("1½ in", 1.5 * INCH),
        ("¾", 0.75 * INCH),
        ("1/2 mm", 0.5),
        ("=20-0.3", 19.7),
        ("20-0.3", 19.7),
        ("20 \u2212 0,3", 19.7),
        ("= 20 + 1/16 in", 20 + INCH / 16),
        ("20+1/16 in", 20 + INCH / 16),
        ("2.1 cm - 0.5 mm", 20.5),
        ("=1-3/8 in", 1 - 0.375 * INCH),  # after = a hyphen takes away
        ("1 - 3/8 in", 1 - 0.375 * INCH),
        ("20 mm - 1-3/8 in", 20 - 1.375 * INCH),
        ("-3", -3.0),
        ("+3", 3.0),
        ("\u22123", -3.0),
        ("=-3+5", 2.0),
    ],
)
def test_reads_in_a_mm_lock(text: str, mm: float) -> None:
    assert parse_length(text, "mm") == pytest.approx(mm, rel=1e-15, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("2", 2.0),
        ("13/16", 13 / 16),
        ("1 3/8", 1.375),
        ("1-3/8", 1.375),
        ("1/3", 1 / 3),
        ("25/2", 12.5),
        ("=1-3/8", 0.625),
        ("1+1/16", 1.0625),
        ("20 mm", 20 / INCH),
        ("1 - 2 mm", 1 - 2 / INCH),
    ],
)
def test_reads_in_an_inch_lock(text: str, inches: float) -> None:
    assert parse_length(text, "in") == pytest.approx(inches * INCH, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            " ",
            "=",
            "==3",
            "mm",
            ".",
            ",",
            "-",
            "+-3",
            "--3",
            "3-",
            "3+",
            "3 4",
            "1.2.3",
            "1,234.5",
        ),
        *(
            "1/0",
            "1 3/0 in",
            "1//2",
            "/2",
            "1/",
            "3/4/5",
            "1 9/8 in",
            "1.5/2 in",
            "1 2 3/4 in",
            "3 - -2",
        ),
        *(
            "nan",
            "inf",
            "1e3",
            "1e999",
            "0x10",
            "1_000",
            "２０",
            "٣",
            "20 ft",
            "20mmm",
            "20 mm mm",
            "20'",
        ),
        *("2*3", "(2)", "2^3", "__import__('os')", "\x1b[2J", "3\x00", "3\u200b", "20\n21"),
        "9" * (LONGEST_ENTRY + 1),
        "0." + "9" * LONGEST_ENTRY,
    ],
)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_refuses_in_one_sentence_that_says_what_is_allowed(text: str, units: str) -> None:
    with pytest.raises(BadEntryError) as refusal:
        parse_length(text, units)
    sentence = str(refusal.value)
    assert "\n" not in sentence
    assert sentence.isprintable()
    assert len(sentence) < 200
    assert ("13/16, 0.8125" if units == "in" else "20.5") in sentence
    assert units == "in" or "13/16 in" in sentence


@pytest.mark.parametrize(
    ("text", "how"),
    [
        ("25/2", "add the unit"),
        ("1/3", "add the unit"),
        ("8/8", "add the unit"),
        ("=20-1/2", "add the unit"),
        ("20 + 1/2", "add the unit"),
        ("1-3/8", "1 3/8 in"),
        ("20-1/2", "1 3/8 in"),
        ("1-3/8 mm", "1 3/8 in"),
    ],
)
def test_refuses_in_a_mm_lock_what_could_be_either(text: str, how: str) -> None:
    with pytest.raises(BadEntryError, match="could be") as refusal:
        parse_length(text, "mm")
    assert how in str(refusal.value)


def test_a_file_must_give_the_unit() -> None:
    assert parse_length("13/16 in", None) == 20.6375
    assert parse_length("2 cm + 1 mm", None) == 21.0
    for text in ("20", "13/16", "20 + 1 mm"):
        with pytest.raises(BadEntryError, match="lacks a unit"):
            parse_length(text, None)


def test_a_sum_is_exact() -> None:
    # in binary floating point 0.1 + 0.2 is not 0.3
    assert parse_length("0.1+0.2", "mm") == 0.3
    assert parse_length("1/3 in + 1/3 in + 1/3 in", "mm") == INCH


@given(
    st.lists(
        st.tuples(
            st.sampled_from("+-"),
            st.integers(0, 99),
            st.integers(1, 99),
            st.sampled_from(["mm", "cm", "m", "in", '"']),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_sums_of_fractions_agree_with_the_library(terms: list[tuple[str, int, int, str]]) -> None:
    each = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}
    text = "=" + "".join(f"{sign}{over}/{under} {unit}" for sign, over, under, unit in terms)
    total = sum(
        (1 if sign == "+" else -1) * Fraction(over, under) * each.get(unit, Fraction(127, 5))
        for sign, over, under, unit in terms
    )
    assert parse_length(text, "mm") == float(total)


@given(st.text(max_size=30), st.sampled_from(["mm", "in", None]))
@example("\ud800", "mm")
@example("½½", "mm")
@example("1½/2", "mm")
def test_any_text_is_a_finite_length_or_a_refusal(text: str, units: str | None) -> None:
    try:
        assert abs(parse_length(text, units)) < 1e40
    except BadEntryError as refusal:
        assert "\n" not in str(refusal)  # noqa: PT017 - either outcome is right, nothing else is


@given(LENGTHS, st.sampled_from(["mm", "in"]))
@example(20.0, "in")
@example(1e-12, "in")
@example(-0.0, "mm")
@example(20.637500000000003, "in")
def test_an_entry_reads_back(mm: float, units: str) -> None:
    assert parse_length(show_entry(mm, units), units) == pytest.approx(mm, rel=0, abs=1e-9)


@given(st.integers(-2_000_000, 2_000_000), st.sampled_from(["mm", "in"]))
def test_an_entry_of_whole_micrometres_reads_back_exactly(micrometres: int, units: str) -> None:
    mm = micrometres / 1000
    assert parse_length(show_entry(mm, units), units) == pytest.approx(mm, abs=1e-9)
    if units == "mm":
        assert parse_length(show_entry(mm, units), units) == mm


@given(st.integers(-5000, 5000))
def test_an_inch_entry_on_the_rule_is_a_fraction(sixty_fourths: int) -> None:
    mm = sixty_fourths / 64 * INCH
    entry = show_entry(mm, "in")
    assert "." not in entry
    assert parse_length(entry, "in") == pytest.approx(mm, rel=1e-15)


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (24.0, "mm", "24.0 mm"),
        (24.05, "mm", "24.05 mm"),
        (24.129, "mm", "24.13 mm"),
        (-0.001, "mm", "0.0 mm"),
        (0.0, "mm", "0.0 mm"),
        (20.6375, "in", "13/16 in"),
        (20.6375 + 0.0004 * INCH, "in", "13/16 in"),
        (20.6375 + 0.0006 * INCH, "in", "0.813 in"),
        (-34.925, "in", "-1 3/8 in"),
        (50.8, "in", "2 in"),
        (0.0, "in", "0 in"),
        (0.2, "in", "0.0079 in"),  # 0.2 / 25.4 = 0.00787
        (20.0, "in", "0.787 in"),
        (0.01, "in", "0.0004 in"),  # not nothing
    ],
)
def test_shows_a_length(mm: float, units: str, text: str) -> None:
    assert show_length(mm, units) == text


@given(LENGTHS, st.sampled_from(["mm", "in"]))
def test_what_is_shown_is_near_what_is_meant(mm: float, units: str) -> None:
    shown = parse_length(show_length(mm, units), None)
    assert shown == pytest.approx(mm, rel=0, abs=0.0005 * INCH + 1e-9)


@given(LENGTHS, st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_the_nearest_fraction_is_the_nearest(mm: float, denominator: int) -> None:
    text, error = nearest_fraction(mm, denominator)
    value = parse_length(text, None)
    assert value - mm == pytest.approx(error, abs=1e-9)
    assert abs(error) <= INCH / denominator / 2 + 1e-9
    assert (value / INCH * denominator) == pytest.approx(
        round(value / INCH * denominator), abs=1e-9
    )


def test_fractions_are_in_their_lowest_terms() -> None:
    assert nearest_fraction(12.7) == ("1/2 in", 0.0)
    text, error = nearest_fraction(20.0)
    # 25/32 in = 19.84375 mm: drill and fraction tables of any workshop
    assert text == "25/32 in"
    assert error == pytest.approx(-0.15625)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("12.5", 12.5),
        ("12,5°", 12.5),
        ("12 deg", 12.0),
        ("22 1/2 degrees", 22.5),
        ("=15-2.5", 12.5),
    ],
)
def test_reads_an_angle(text: str, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("text", ["", "12 mm", "1-1/2", "nan", "12'", "1/0", "twelve"])
def test_refuses_what_is_no_angle(text: str) -> None:
    with pytest.raises(BadEntryError, match=r"degrees|1 1/2"):
        parse_angle(text)


@pytest.mark.parametrize("text", ["1-1/2", "3+1-1/2", "1-1/2+3", "1-1/2-1-1/2"])
def test_a_hyphen_that_may_take_away_is_refused_wherever_it_stands(text: str) -> None:
    # 1-1/2 is one and a half or a half: what stands beside it does not tell which
    for parse in (parse_angle, parse_force, parse_count):
        with pytest.raises(BadEntryError, match="could be a mixed number or a difference"):
            parse(text)


@given(st.floats(0, 360, allow_nan=False))
def test_an_angle_entry_reads_back(degrees: float) -> None:
    assert parse_angle(show_angle_entry(degrees)) == pytest.approx(degrees, rel=0, abs=1e-9)
    assert parse_angle(show_angle(degrees)) == pytest.approx(degrees, rel=0, abs=0.00501)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("0x10", "is no length"),
        ("1e-300", "is no length"),
        ("２０", "digits other than 0 to 9: write it as"),
        ("٢٠ mm", "digits other than 0 to 9"),
        ("20²", "digits other than 0 to 9"),
        (f"0.{'0' * 50}1", "nearer to 0 than any tool can show: write 0"),
        ("1/99999999999999999999999 in", "nearer to 0"),
        ("=0.3-0.2-0.09999999999999", "nearer to 0"),
    ],
)
def test_what_may_be_a_slip_is_refused_with_what_is_meant(text: str, why: str) -> None:
    with pytest.raises(BadEntryError, match=why):
        parse_length(text, "mm")


def test_nothing_is_nothing() -> None:
    for text in ("0", "-0.0", "=20-20", "=0.1+0.2-0.3"):
        assert repr(parse_length(text, "mm")) == "0.0"


@pytest.mark.parametrize(
    ("text", "units", "unit"),
    [
        ("20", "mm", "mm"), ("20", "in", "in"), ("13/16", "mm", "in"), ("2 cm", "in", "mm"), ("1 mm", "in", "mm"),
        ('2"', "mm", "in"), ("=1 in - 1 mm", "in", "mm"), ("=2-1/8", "in", "in"), ("5 1/2", "mm", "in"),
    ],
)  # fmt: skip
def test_the_unit_of_an_entry_is_what_its_number_is_read_in(
    text: str, units: str, unit: str
) -> None:
    assert unit_typed(text, units) == unit
