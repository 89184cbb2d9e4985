"""Lengths, angles and forces as a maker types and reads them; inside the program all lengths are mm.

What may be typed
-----------------
Numbers `20`, `20.5`, `20,5`; fractions `13/16`; mixed numbers `1 3/8` and, for inches, `1-3/8`; a
unit after any of them (mm, cm, m, in, inch, `"`); sums and differences of these, each with its own
unit, after an optional `=`. A sign may lead; of what lies across a side may stand with it instead, `5 left`, `5 r`.
Nothing else: no product, no power, no function.

What is read where it could mean two things
-------------------------------------------
- A number without a unit is in the lock's units.
- A fraction that stands alone without a unit in a mm lock is inches if it is a proper fraction, or
  a mixed number, of halves, quarters, eighths and so on to 128ths: nobody sets a compass to
  13/16 mm. In a sum, or with another denominator (`=20-1/2`, `25/2`, `1/3`), it is refused until
  it has a unit.
- `1-3/8 in` is one and three eighths; `=1-3/8 in` is a difference. The hyphened form is for inches.
- A comma is a decimal comma, never a mark between thousands.
"""

import re
import unicodedata
from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, NamedTuple, NoReturn

from core.errors import BadEntryError
from core.text import shown

INCH = Fraction(254, 10)
"""One inch [mm], exactly, since 1959."""
POUND_FORCE = Fraction(45359237, 100_000_000) * Fraction(980665, 100_000)
"""One pound of force [N], exactly: the pound of 1959 at standard gravity."""
NEGLIGIBLE = 1e-9
"""Nearer to 0 than this [mm, degrees or N] is no measure that anybody has in mind."""
LONGEST_ENTRY = 60
"""Characters in the longest entry that is read: bounds the work, and every number stays finite."""

_LENGTHS: Mapping[str, Fraction] = {
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000),
    "in": INCH, "inch": INCH, "inches": INCH, '"': INCH,
}  # fmt: skip
_ANGLES: Mapping[str, Fraction] = dict.fromkeys(("deg", "degree", "degrees", "°"), Fraction(1))
_FORCES: Mapping[str, Fraction] = {
    **dict.fromkeys(("n", "newton", "newtons"), Fraction(1)),
    **dict.fromkeys(("lbf", "lb", "pound", "pounds"), POUND_FORCE),
    **dict.fromkeys(("oz", "ozf", "ounce", "ounces"), POUND_FORCE / 16),
}
_BINARY = frozenset(2**power for power in range(1, 8))
# what keyboards, phones and word processors put in place of - / "
_LOOKALIKES = str.maketrans("\u2010\u2011\u2013\u2212\u2044\u2215\u2033\u201d", '----//""')
_CLOSE = NEGLIGIBLE  # [mm] how near the text in a prompt comes to the value it was written from

_HOW_LENGTH = 'write it as 20.5, 20 mm, 13/16 in, 1 3/8" or =20-0.3'
_HOW_INCHES = 'write it as 13/16, 0.8125, 1 3/8" or =1-1/8'
_HOW_ANGLE = "write it in degrees, as 12.5 or =15-2.5"
_HOW_FORCE = "write it in newtons, as 3 or 2.5 N"
_HOW_OUNCES = "write it in ounces or pounds, as 10.5, 12 oz or 1.5 lbf"
_HOW_COUNT = "write it as 3 or =2+1"

_PATTERN = r"""(?:(?:(?P<whole>[0-9]+)(?P<join>{join}))?(?P<over>[0-9]+)\ ?/\ ?(?P<under>[0-9]+)
    |(?P<decimal>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))
    \ *(?P<unit>[a-z]+|["°])?\ *"""
_TERM = re.compile(_PATTERN.format(join=r"\ +|-"), re.VERBOSE)
_TERM_AFTER_EQUALS = re.compile(_PATTERN.format(join=r"\ +"), re.VERBOSE)  # - takes away there


_SIDED = re.compile(
    r"(?P<before>left|right)\s+(?P<size>.+)|(?P<alone>.+?)\s*(?P<after>left|right|l|r)",
    re.IGNORECASE | re.DOTALL,
)
Side = Literal["left", "right", ""]


class _Term(NamedTuple):
    """One signed number of an entry, in its own unit ("" for none)."""

    value: Fraction
    form: Literal["decimal", "fraction", "mixed", "hyphened"]
    binary: bool  # a proper fraction, or a mixed number, with a denominator from a rule's inch side
    unit: str


def parse_length(text: str, units: str | None) -> float:
    """Return the length [mm] that `text` states.

    `units`, "mm" or "in", says what a number without a unit is in; None refuses such a number, as
    a project file does.

    Raises
    ------
    BadEntryError
        For anything that is no length; the sentence quotes the text and says what is allowed.
    """
    terms = _terms(text, _LENGTHS, "length", _HOW_INCHES if units == "in" else _HOW_LENGTH)
    total = sum((t.value * _scale(t, len(terms) == 1, units, text) for t in terms), Fraction(0))
    return _stated(total, text)


def parse_across(text: str, units: str | None) -> tuple[float, Side]:
    """Return the distance [mm] across that `text` states, and the side that is named with it.

    `5 left`, `5 l`, `left 5`, and the same of right: the distance is then without a sign. Without a side the number
    is as `parse_length` reads it, with its sign.

    Raises
    ------
    BadEntryError
        As `parse_length`, and for a side beside a sign.
    """
    found = _SIDED.fullmatch(text.strip())
    if found is None:
        return parse_length(text, units), ""
    side: Side = "left" if (found["before"] or found["after"]).lower().startswith("l") else "right"
    size = parse_length(found["size"] or found["alone"], units)
    if size < 0:
        _refuse(text, "has both a side and a sign", f"write 5 {side}, or the sign alone")
    return size, side


def unit_typed(text: str, units: str) -> str:
    """Return what the length that `text` states is thought of in, "mm" or "in", as `parse_length` reads it.

    Inches where every number in it is in inches, or has no unit and is read in them; else mm.

    Raises
    ------
    BadEntryError
        As `parse_length`.
    """
    terms = _terms(text, _LENGTHS, "length", _HOW_LENGTH)
    return "in" if all(_scale(t, len(terms) == 1, units, text) == INCH for t in terms) else "mm"


def parse_angle(text: str) -> float:
    """Return the angle [degrees] that `text` states, with or without a degree sign.

    Raises
    ------
    BadEntryError
        For anything that is no angle; the sentence quotes the text and says what is allowed.
    """
    return _parse_plain(text, _ANGLES, "angle", _HOW_ANGLE)


def parse_force(text: str, units: str = "mm") -> float:
    """Return the force [N] that `text` states; without a unit it is in newtons, or with inches in ounces.

    Raises
    ------
    BadEntryError
        For anything that is no force; the sentence quotes the text and says what is allowed.
    """
    if units == "in":
        return _parse_plain(text, {**_FORCES, "": _FORCES["oz"]}, "force", _HOW_OUNCES)
    return _parse_plain(text, _FORCES, "force", _HOW_FORCE)


def parse_count(text: str) -> int:
    """Return the whole number that `text` states.

    Raises
    ------
    BadEntryError
        For anything that is no whole number; the sentence quotes the text and says what is allowed.
    """
    number = _parse_plain(text, {}, "number", _HOW_COUNT)
    if number != int(number):
        _refuse(text, "is no whole number", _HOW_COUNT)
    return int(number)


def _parse_plain(text: str, units: Mapping[str, Fraction], kind: str, how: str) -> float:
    terms = _terms(text, units, kind, how)
    if any(term.form == "hyphened" for term in terms):
        _refuse(text, "could be a mixed number or a difference", "write 1 1/2, or =1-1/2")
    total = sum((t.value * units.get(t.unit, Fraction(1)) for t in terms), Fraction(0))
    return _stated(total, text)


def _stated(total: Fraction, text: str) -> float:
    if total and abs(float(total)) < NEGLIGIBLE:
        _refuse(text, "is nearer to 0 than any tool can show", "write 0, if that is meant")
    return float(total)


def show_length(mm: float, units: str) -> str:
    """Write a length [mm] for reading, with its unit.

    In mm to 0.01; in inches as a fraction where one of 64ths is within 0.0005 in, else as a decimal
    to 0.001 in, or to 0.0001 in below a tenth.
    """
    if units != "in":
        return f"{two_decimals(mm)} mm"
    inches = mm / float(INCH)
    sixty_fourths = round(inches * 64)
    if sixty_fourths and abs(inches - sixty_fourths / 64) <= 0.0005:
        return f"{show_fraction(Fraction(sixty_fourths, 64))} in"
    if abs(inches) < 0.00005:
        return "0 in"
    return f"{inches:.{3 if abs(inches) >= 0.1 else 4}f} in"


def show_angle(degrees: float) -> str:
    """Write an angle [degrees] for reading, to 0.01 degree."""
    return f"{two_decimals(degrees)}°"


def show_lean(degrees: float) -> str:
    """Write how an upright line leans [degrees, clockwise positive], in words, to 0.01 degree."""
    size = two_decimals(abs(degrees))
    if size == "0.0":
        return "upright"
    way, other = ("right", "left") if degrees > 0 else ("left", "right")
    return f"leaning {size} degrees to the {way}, its lower end to the {other}"


def show_entry(mm: float, units: str) -> str:
    """Write a length [mm] as it would be typed at a prompt of a lock in `units`.

    `parse_length` reads it back to 1e-9 mm. An entry that nobody touched should leave its value alone.
    """
    if units != "in":
        return _decimal(mm, Fraction(1), 10) or f"{mm:.10f}"
    inches = mm / float(INCH)
    fraction = Fraction(round(inches * 64), 64)
    if abs(float(fraction * INCH) - mm) <= _CLOSE:
        return show_fraction(fraction)
    return _decimal(mm, INCH, 12) or f"{inches:.12f}"


def show_angle_entry(degrees: float) -> str:
    """Write an angle [degrees] as it would be typed at a prompt; reads back to 1e-9 degree."""
    return show_entry(degrees, "mm")


def decimal_entry(value: float) -> str:
    """Write a number as it would be typed at a prompt, without a unit; reads back to 1e-9."""
    return show_entry(value, "mm")


def short_entry(mm: float, units: str) -> str:
    """Write a length [mm] as it is edited at a prompt of a lock in `units`: `show_entry`, in inches to 0.0001 in."""
    text = show_entry(mm, units)
    return text if units != "in" or len(text.partition(".")[2]) <= 4 else f"{mm / float(INCH):.4f}"


def nearest_fraction(mm: float, denominator: int = 64) -> tuple[str, float]:
    """Return the nearest inch fraction to a length [mm] and what it adds to that length [mm].

    The fraction, in its lowest terms, is of 1/`denominator` in: what a fractional rule can show.
    """
    fraction = Fraction(round(mm / float(INCH) * denominator), denominator)
    return f"{show_fraction(fraction)} in", float(fraction * INCH) - mm


def _terms(text: str, units: Mapping[str, Fraction], kind: str, how: str) -> tuple[_Term, ...]:
    rest = _tidy(text)
    if not rest.strip("= "):
        raise BadEntryError(f"There is no {kind} here: {how}")
    if len(text) > LONGEST_ENTRY:
        _refuse(text, f"is longer than {LONGEST_ENTRY} characters", how)
    if any(character.isdigit() and not character.isascii() for character in rest):
        _refuse(text, "has digits other than 0 to 9", how)
    pattern = _TERM_AFTER_EQUALS if rest.startswith("=") else _TERM
    rest = rest.removeprefix("=").strip()
    found: list[_Term] = []
    while rest or not found:
        sign = -1 if rest.startswith("-") else 1
        if rest[:1] in ("+", "-"):
            rest = rest[1:].strip()
        elif found:  # two numbers with nothing between them
            _refuse(text, f"is no {kind}", how)
        match = pattern.match(rest)
        if match is None or (match["unit"] or "") not in {"", *units}:
            _refuse(text, f"is no {kind}", how)
        found.append(_term(match, sign, text, how))
        rest = rest[match.end() :]
    return tuple(found)


def _tidy(text: str) -> str:
    """Return `text` in lower case with plain spaces, dashes, slashes, inch marks and fractions."""
    done = []
    for character in text.translate(_LOOKALIKES):
        if unicodedata.category(character) == "Zs" or character == "\t":
            done.append(" ")
        elif unicodedata.decomposition(character).startswith("<fraction>"):  # such as ½
            plain = unicodedata.normalize("NFKC", character).translate(_LOOKALIKES)
            done.append(f" {plain}")
        else:
            done.append(character.lower())
    return "".join(done).strip()


def _term(match: re.Match[str], sign: int, text: str, how: str) -> _Term:
    unit = match["unit"] or ""
    if match["decimal"]:
        # Fraction reads "20." but not ".": the pattern asks for a digit on one side
        return _Term(
            sign * Fraction(match["decimal"].replace(",", ".")), "decimal", binary=False, unit=unit
        )
    over, under, whole = int(match["over"]), int(match["under"]), match["whole"]
    if under == 0:
        _refuse(text, "has a fraction over 0", how)
    if whole is None:
        binary = under in _BINARY and over < under
        return _Term(Fraction(sign * over, under), "fraction", binary, unit)
    if over >= under:
        _refuse(text, f"has {over}/{under}, one whole or more, beside a whole number", how)
    value = sign * (int(whole) + Fraction(over, under))
    form: Literal["mixed", "hyphened"] = "hyphened" if match["join"] == "-" else "mixed"
    return _Term(value, form, under in _BINARY, unit)


def _scale(term: _Term, alone: bool, units: str | None, text: str) -> Fraction:
    """Return the mm in one of what `term` is counted in."""
    if term.unit:
        scale = _LENGTHS[term.unit]
    elif units is None:
        _refuse(text, "lacks a unit", "write 20 mm or 13/16 in, or the mm without quotes")
    elif units == "in" or (alone and term.binary and term.form != "hyphened"):
        scale = INCH
    elif term.form in ("decimal", "hyphened"):
        scale = Fraction(1)
    else:
        _refuse(text, "could be mm or inches", "add the unit, as in 1/2 in, or write 0.5")
    if term.form == "hyphened" and scale != INCH:
        _refuse(text, "could be inches or a difference", "write 1 3/8 in, or =20-0.5 to take away")
    return scale


def _refuse(text: str, why: str, how: str) -> NoReturn:
    raise BadEntryError(f"{shown(text)} {why}: {how}")


def two_decimals(value: float) -> str:
    """Write a number to two decimals at most, one at least."""
    text = f"{round(value, 2) + 0.0:.2f}"  # adding 0.0 turns -0.0 into 0.0
    return text.removesuffix("0")


def _decimal(mm: float, unit: Fraction, most: int) -> str | None:
    """Return the shortest decimal, of at most `most` places, of a length [mm] in `unit` [mm]."""
    for places in range(most + 1):
        text = f"{mm / float(unit):.{places}f}"
        if abs(float(Fraction(text) * unit) - mm) <= _CLOSE:
            return text
    return None


def show_fraction(value: Fraction) -> str:
    """Write a fraction as a maker does: `-1 3/8`, `13/16`, `2`."""
    whole, over = divmod(abs(value.numerator), value.denominator)
    parts = ([str(whole)] if whole or not over else []) + (
        [f"{over}/{value.denominator}"] if over else []
    )
    return ("-" if value < 0 else "") + " ".join(parts)
