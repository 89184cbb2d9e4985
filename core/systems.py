"""The two systems that a lock is kept in: mm, N, N m and MPa, or inches, ounces and pounds of force, in lbf and psi.

Inside the program everything is mm and N. What a person reads or types goes through here or `core.units`, so that
no unit of the one system stands in a lock of the other.

Source of the factors: the yard and the pound of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg, both exact) and standard
gravity (9.80665 m/s2, exact, 3rd CGPM, 1901).
"""

import re
from fractions import Fraction

from core.units import INCH, POUND_FORCE, decimal_entry, show_fraction, show_length, two_decimals

_NEWTONS = float(POUND_FORCE)
_OUNCES = 16.0
_INCH_LBF = float(POUND_FORCE * INCH)
"""One in lbf [N mm]."""
_SQ_INCH = float(INCH * INCH)
_GRAMS_TO_OUNCE = 453.59237 / _OUNCES
_PSI = _NEWTONS / _SQ_INCH
"""One pound of force to the square inch [MPa]."""
_NEAR = 0.06
"""How far a usual value in inches may lie from the one in mm: it is rough in either system."""
_COARSE = (1, 2, 4, 8, 16, 32)


def show_force(newtons: float, units: str = "mm") -> str:
    """Write a force [N] for reading: to 0.01 N, or in ounces to 0.1 and from a pound on in lbf to 0.01.

    Example, a pound of force: 0.45359237 kg at 9.80665 m/s2.
    >>> show_force(4.4482216152605, "in"), show_force(2.0, "in"), show_force(2.0)
    ('1.0 lbf', '7.2 oz', '2.0 N')
    """
    if units != "in":
        return f"{two_decimals(newtons)} N"
    pounds = newtons / _NEWTONS
    if round(abs(pounds) * _OUNCES, 1) < _OUNCES:
        return f"{pounds * _OUNCES + 0.0:.1f} oz"
    return f"{two_decimals(pounds)} lbf"


def force_unit(units: str) -> str:
    """Return the unit that a force is typed in."""
    return "oz" if units == "in" else "N"


def force_step(units: str) -> float:
    """Return what one nudge adds to a force [N]: 0.1 N or half an ounce."""
    return 0.5 * _NEWTONS / _OUNCES if units == "in" else 0.1


def force_entry(newtons: float, units: str = "mm") -> str:
    """Write a force [N] as it would be typed; in ounces to 0.001 at the finest."""
    if units != "in":
        return decimal_entry(newtons)
    return f"{newtons / _NEWTONS * _OUNCES:.3f}".rstrip("0").rstrip(".")


def show_torque(newton_mm: float, units: str = "mm") -> str:
    """Write a torque [N mm] for reading, to 0.001 N m or 0.01 in lbf.

    Example, one in lbf, which is 0.112984829 N m.
    >>> show_torque(112.984829, "in"), show_torque(112.984829)
    ('1.00 in lbf', '0.113 N m')
    """
    if units != "in":
        return f"{newton_mm / 1000 + 0.0:.3f} N m"
    return f"{newton_mm / _INCH_LBF + 0.0:.2f} in lbf"


def torque_scale(units: str) -> tuple[float, str]:
    """Return the unit that torque is charted in: how many N mm it has, and its name."""
    return (_INCH_LBF, "in lbf") if units == "in" else (1000.0, "N m")


def show_area(mm2: float, units: str, places: int = 2) -> str:
    """Write an area [mm2] for reading, to `places` decimals, in square inches to two more."""
    if units == "in":
        return f"{mm2 / _SQ_INCH:.{places + 2}f} in2"
    return f"{mm2:.{places}f} mm2"


def show_pressure(mpa: float, units: str) -> str:
    """Write a pressure [MPa] for reading, to 1 MPa or 100 psi."""
    return f"{round(mpa / _PSI, -2):.0f} psi" if units == "in" else f"{mpa:.0f} MPa"


def show_rate(newtons_per_mm: float, units: str) -> str:
    """Write a spring's stiffness [N/mm] for reading, to three figures; in lbf per inch.

    >>> show_rate(1.0, "mm"), show_rate(0.17512683523622, "in")
    ('1 N/mm', '1 lbf/in')
    """
    if units == "in":
        return f"{newtons_per_mm / (_NEWTONS / float(INCH)):.3g} lbf/in"
    return f"{newtons_per_mm:.3g} N/mm"


def show_grams(grams: float, units: str) -> str:
    """Write a mass [g] for reading, to 0.1 g or 0.001 oz."""
    return f"{grams / _GRAMS_TO_OUNCE:.3f} oz" if units == "in" else f"{grams:.1f} g"


def show_both(mm: float, units: str) -> str:
    """Write a length [mm] for reading; beside a fraction of an inch its decimals."""
    text = show_length(mm, units)
    if units != "in" or "/" not in text:
        return text
    return f"{text} ({mm / float(INCH):.4f})"


_AMOUNT = re.compile(r"(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (mm|N|g)\b")


def in_words(text: str, units: str) -> str:
    """Return a text of the program's own, whose usual values are in mm, N or g, as a lock in `units` has it.

    What is usual is rough: in inches it is the coarsest fraction within 6 %, or else a decimal.

    >>> in_words("1.5 to 3 mm in steel", "in"), in_words("0.2 to 0.5 mm", "in"), in_words("1 to 5 N", "in")
    ('1/16 to 1/8 in in steel', '0.008 to 0.02 in', '3.6 to 18 oz')
    """
    return _AMOUNT.sub(_amount, text) if units == "in" else text


def _amount(match: re.Match[str]) -> str:
    values = [float(value) for value in match.groups()[:2] if value is not None]
    if match[3] == "mm":
        inches = [value / float(INCH) for value in values]
        rough = [_rough(value) for value in inches]
        plain = not all(rough)
        texts = [
            f"{value:.1g}" if plain else text for value, text in zip(inches, rough, strict=True)
        ]
        return f"{' to '.join(texts)} in"
    scale = _OUNCES / _NEWTONS * (1.0 if match[3] == "N" else 0.00980665)
    return f"{' to '.join(f'{value * scale:.2g}' for value in values)} oz"


def _rough(inches: float) -> str:
    """Return the coarsest fraction near `inches`; nothing where there is none."""
    for under in _COARSE:
        fraction = Fraction(round(inches * under), under)
        if abs(float(fraction) - inches) <= _NEAR * inches:
            return show_fraction(fraction)
    return ""
