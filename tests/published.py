"""What others publish: the second sources by which every row of the shipped tables is checked.

"seen" means that the page was read when this was written, "memory" that it was not. Nothing here was copied from the
shipped tables or from the sources that they name for the same number, except where no other was found: that is said.
"""

import math
from dataclasses import dataclass

PSI = 6.894757e-3
"""One pound to the square inch [MPa]: 4.4482216 N on 645.16 mm2."""
KSI = 1000 * PSI

# --- drills ---------------------------------------------------------------------------------------------------------
# Number drills 1 to 80, thousandths of an inch, as four public tables in programs on other subjects have them,
# all alike (seen); 80 to 53 also in a public-domain list of metric, inch and fractional drills, v.2, 2007 (seen).
NUMBER_DRILLS = (
    228.0, 221.0, 213.0, 209.0, 205.5, 204.0, 201.0, 199.0, 196.0, 193.5,  # 1 to 10
    191.0, 189.0, 185.0, 182.0, 180.0, 177.0, 173.0, 169.5, 166.0, 161.0,
    159.0, 157.0, 154.0, 152.0, 149.5, 147.0, 144.0, 140.5, 136.0, 128.5,
    120.0, 116.0, 113.0, 111.0, 110.0, 106.5, 104.0, 101.5, 99.5, 98.0,
    96.0, 93.5, 89.0, 86.0, 82.0, 81.0, 78.5, 76.0, 73.0, 70.0,
    67.0, 63.5, 59.5, 55.0, 52.0, 46.5, 43.0, 42.0, 41.0, 40.0,
    39.0, 38.0, 37.0, 36.0, 35.0, 33.0, 32.0, 31.0, 29.2, 28.0,
    26.0, 25.0, 24.0, 22.5, 21.0, 20.0, 18.0, 16.0, 14.5, 13.5,
)  # fmt: skip
# Letter drills A to Z, thousandths of an inch, from the same tables (seen).
LETTER_DRILLS = (
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295,
    302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413,
)  # fmt: skip
METRIC_TENTHS = range(5, 131)
"""Tenths of a millimetre that are sold by the set: common practice, no source. BS 328 has 0.2 to 13.9 (seen)."""

# --- gauges ---------------------------------------------------------------------------------------------------------
# Ounces to the square foot by gauge number (Act of 3 March 1893; memory); steel taken at 501.84 lb to the cubic foot.
OUNCES = dict(
    enumerate(
        (90, 80, 70, 60, 50, 45, 40, 36, 32, 28, 24, 22, 20, 18, 16, 14, 12, 11, 10, 9, 8), start=10
    )
)
POUNDS_PER_CUBIC_FOOT = 501.84
ZINC_OUNCES = 2.5
"""Ounces of zinc on a square foot of galvanised sheet (memory)."""
# Imperial Standard Wire Gauge, thousandths of an inch (Order in Council 1883; memory). `fluids` has 14.9 for 28.
SWG = dict(
    enumerate(
        (
            128, 116, 104, 92, 80, 72, 64, 56, 48, 40, 36, 32, 28, 24, 22, 20, 18, 16.4, 14.8, 13.6, 12.4,
        ),
        start=10,
    )
)  # fmt: skip
# The same in mm as a metal merchant's table of sheet has it, where it does (seen).
SWG_SOLD = {
    10: 3.25,
    12: 2.64,
    14: 2.03,
    16: 1.63,
    18: 1.21,
    20: 0.91,
    22: 0.71,
    24: 0.56,
    26: 0.46,
}

# --- stock ----------------------------------------------------------------------------------------------------------
ROUNDED_TENTH = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
"""Rounded preferred numbers R"10 (ISO 497, memory): one for each step of 10^(1/10)."""

# --- ISO 2768-1 -----------------------------------------------------------------------------------------------------
# +- mm for sizes up to 3, 6, 30, 120, 400 mm: the data file of `physeng` 0.9.2, a library of physics (seen); a second
# copy on the web agrees. A third, of a merchant, has 0.15 and 0.2 for the first two of c.
ISO_2768 = {
    "f": (0.05, 0.05, 0.10, 0.15, 0.20),
    "m": (0.10, 0.10, 0.20, 0.30, 0.50),
    "c": (0.20, 0.30, 0.50, 0.80, 1.20),
    "v": (None, 0.50, 1.00, 1.50, 2.50),
}


# --- friction -------------------------------------------------------------------------------------------------------
@dataclass(frozen=True)
class Rubbed:
    """A coefficient as one table prints it; `ours` is the pair and condition that it speaks of."""

    ours: tuple[str, str]
    table: str
    printed: str
    values: tuple[float, ...]


_A = "A"
_B = "B"
_C = "C"
_D = "D"
_E = "E"
_F = "F"
FRICTION_TABLES = {
    _A: "an open physics textbook of Ontario, appendix, table A.1 (seen)",
    _B: "a workshop's reference chart of static friction (seen)",
    _C: "handbook figures, as in the LBL engineering table of friction (second-hand)",
    _D: "a university physics textbook (second-hand, seen quoted)",
    _E: "a second open physics textbook, 2022 (seen)",
    _F: "a handbook of 1911 for boys who invent, appendix (seen)",
}
_STEEL, _BRASS, _BRONZE = "steel on steel", "brass on steel", "bronze on steel"
FRICTION = (
    Rubbed((_STEEL, "greased"), _C, "steel, lubricated", (0.10,)),
    Rubbed((_STEEL, "greased"), _B, "iron on iron, lubricated, static", (0.15, 0.20)),
    Rubbed((_STEEL, "greased"), _D, "metal on metal, lubricated, static and sliding", (0.15, 0.06)),
    Rubbed((_STEEL, "greased"), _E, "steel on steel, oiled, static and sliding", (0.05, 0.03)),
    Rubbed((_STEEL, "clean"), _C, "Gieck, static from 0.15; hard steel, sliding", (0.15, 0.42)),
    Rubbed((_STEEL, "clean"), _E, "steel on steel, sliding", (0.3,)),
    Rubbed((_STEEL, "dry"), _C, "hard steel, sliding and static", (0.42, 0.78)),
    Rubbed((_STEEL, "dry"), _D, "steel on steel, static and sliding", (0.74, 0.57)),
    Rubbed((_STEEL, "dry"), _E, "steel on steel, static", (0.6,)),
    Rubbed((_STEEL, "dry"), _B, "iron on iron, clean and dry", (1.0,)),
    Rubbed((_BRASS, "greased"), _A, "castor oil, grease", (0.11, 0.19)),
    Rubbed((_BRASS, "greased"), _B, "castor oil, grease", (0.11, 0.19)),
    Rubbed((_BRASS, "greased"), _F, "iron on brass", (0.16,)),
    Rubbed((_BRASS, "clean"), _A, "from grease to dry sliding", (0.19, 0.44)),
    Rubbed((_BRASS, "clean"), _F, "brass on brass", (0.20,)),
    Rubbed((_BRASS, "dry"), _A, "sliding and static", (0.44, 0.51)),
    Rubbed((_BRASS, "dry"), _B, "static", (0.51,)),
    Rubbed((_BRONZE, "greased"), _A, "sintered, and grease", (0.13, 0.16)),
    Rubbed((_BRONZE, "greased"), _B, "sintered, and grease", (0.13, 0.16)),
    Rubbed((_BRONZE, "greased"), _F, "iron on bronze, thoroughly lubricated", (0.06,)),
    Rubbed((_BRONZE, "clean"), _A, "from grease to bronze on cast iron", (0.16, 0.22)),
    Rubbed((_BRONZE, "clean"), _B, "grease", (0.16,)),
    Rubbed((_BRONZE, "dry"), _A, "on cast iron; aluminium bronze, static", (0.22, 0.45)),
    Rubbed((_BRONZE, "dry"), _B, "aluminium bronze, static", (0.45,)),
    Rubbed((_BRONZE, "dry"), _F, "iron on bronze, without lubricant", (0.25,)),
)
LEFT_OUT = {
    (_STEEL, "greased", _D, 0.06): "sliding with a film of oil, not at a hand's pace",
    (_STEEL, "greased", _E, 0.05): "oiled, not greased",
    (_STEEL, "greased", _E, 0.03): "sliding with a film of oil, not at a hand's pace",
    (_STEEL, "dry", _B, 1.0): "scoured iron, which seizes",
    (_BRONZE, "greased", _F, 0.06): "oil poured on",
}
"""Published figures outside our ranges, and why they are left out; all but one lie on the easy side."""

# --- hands ----------------------------------------------------------------------------------------------------------
INCH_POUND = 0.1129848
"""One inch-pound [N m]."""
SWITCH_INCH_POUNDS = (1, 6)
"""Key-operated switch, least and most resistance, as MIL-STD-1472E figure 5 has it beside the metric figures (seen)."""
MEN_ON_A_KEY = (2.01, 0.42, 257)
"""N m, spread, people: the only table of torques on a key handle that was found (abstract seen)."""
LOCK_STANDARD = (1.5, 2.5)
"""N m: most torque to work a key, and what a key must stand: EN 1303 (memory)."""
WOMEN = {
    "turning handles, Shih & Wang 1996 (abstract seen)": (0.62,),
    "smooth cylinders, Replogle 1983 (abstract seen)": (0.40,),
    "handwheels, three kinds (seen)": (3.46 / 5.15, 4.17 / 6.35, 4.15 / 6.43),
}
"""What women turn as a share of what men do."""
FOREARM = {
    "daily tasks, Morrey et al. 1981 (abstract seen)": (50, 50),
    "tasks of today, Sardelli et al. 2011 (abstract seen)": (65, 77),
}
"""Pronation and supination [degrees] that tasks take."""


# --- metals ---------------------------------------------------------------------------------------------------------
@dataclass(frozen=True)
class Tried:
    """Properties of a metal as one source has them: MPa, GPa, kg/m3; None where it has none."""

    source: str
    yields: tuple[float, ...] = ()
    ultimate: tuple[float, ...] = ()
    modulus: tuple[float, ...] = ()
    density: float | None = None


METALS = {
    ("structural steel S275", "as rolled, up to 16 mm"): (
        Tried("a trader's table of S275JR, up to 16 mm and from 3 mm (seen)", (275,), (410, 560)),
        Tried("S275 data sheet; EN 1993-1-1 (memory)", modulus=(210,), density=7850),
    ),
    ("structural steel A36", "as rolled"): (
        Tried("36300 and 58000 to 79800 psi, 29000 ksi: a second data sheet (seen)",
              (36300 * PSI,), (58000 * PSI, 79800 * PSI), (29000 * PSI,), 7850),
    ),
    ("wrought iron", "as rolled, along the grain"): (
        Tried("psi of the first table", (23000 * PSI, 32000 * PSI), (34000 * PSI, 54000 * PSI), (28000 * PSI,), 7700),
        Tried("a blog on materials: means (seen)", (190,), (303,), (193,), 7750),
    ),
    ("spring steel 1095", "hardened, tempered at 425 down to 370 C (800 to 700 F)"): (
        Tried("psi of the table of tempering temperatures; ratios of yield as in the row's source",
              (895 / 1340 * 212000 * PSI, 0.9 * 238000 * PSI), (212000 * PSI, 238000 * PSI), (205,), 7850),
        Tried("1090, quenched and tempered or austempered, ASM Metals Handbook (seen)", (895, 1020), (1340, 1415)),
        Tried("1095 bar, quenched, tempered at 800 F: Shigley, table A-21 (memory)", (772,), (1210,)),
    ),
    ("phosphor bronze C510", "spring (H08)"): (
        Tried("ksi of the mill's data sheet; low yield as 100 ksi to the middle of 95 and 110 (seen)",
              (100 / 102.5 * 95 * KSI, 100 * KSI), (95 * KSI, 110 * KSI), (16000 * KSI / 1000,), 8860),
        Tried("a second supplier, H08 (seen)", (), (690,), (), 8860),
    ),
    ("free-cutting brass C360", "half hard (H02)"): (
        Tried("45 and 58 ksi, 14000 ksi, 0.307 lb/in3: half-hard rod (seen)",
              (45 * KSI,), (58 * KSI,), (14000 * PSI,), 8498),
        Tried("H02, an online reference (seen; its 8200 kg/m3 is left out)", (140,), (360,), (100,)),
        Tried("by temper, a maker of fasteners (seen)", (124, 310), (338, 469), (97,), 8490),
    ),
    ("free-cutting brass CW614N", "R430"): (
        Tried("EN 12164 (memory: a copy of the row, no second source of this alloy was found)",
              (250,), (430,), (97,), 8470),
        Tried("CW612N, R410 (seen)", (250,), (410,), (), 8400),
        Tried("CW608N, R410 (seen)", (230,), (410,), (102,), 8440),
    ),
    ("cartridge brass C260", "annealed"): (
        Tried("11 and 44 ksi (seen)", (11 * KSI,), (44 * KSI,), (16969 * PSI,), 8530),
        Tried("annealed, 21 and 45 to 61 ksi, a mill (seen)", (21 * KSI,), (45 * KSI, 61 * KSI), (112,), 8530),
        Tried("all tempers, an online reference (seen)", (110,), (320,), (110,)),
    ),
}  # fmt: skip
"""By name and temper."""
# The ends that are taken from these, in the order of the metals: yield, ultimate [MPa], modulus [GPa], density
# [kg/m3]; worked out from pounds and inches where the source has them.
METAL_ENDS = (
    (275, None, 410, 560, 210, 210, 7850),
    (250, None, 400, 550, 200, 200, 7850),
    (*(round(psi * PSI) for psi in (23000, 32000, 34000, 54000)), 193, 193, 7700),
    (round(895 / 1340 * 212 * KSI), round(0.9 * 238 * KSI), round(212 * KSI), round(238 * KSI), 205, 205, 7850),
    (round(100 / 102.5 * 95 * KSI), 690, 655, 760, 110, 110, 8860),
    (140, round(45 * KSI), 360, round(58 * KSI), 97, 100, 8490),
    (250, None, 430, None, 97, 97, 8470),
    (round(11 * KSI), round(21 * KSI), round(44 * KSI), 420, 110, 117, 8530),
)  # fmt: skip

# --- rivets ---------------------------------------------------------------------------------------------------------
SHOP_HEAD = 1.5**2 * 0.5
"""Diameters of shank in a driven head 1.5 d wide and 0.5 d high, FAA AC 43.13-1B (second-hand), by volume."""
RIVETS = {
    "edge distance, least": (2.0, "TM 10-7360-208-13&P, 5-3: never less than two diameters of the shank (seen)"),
    "pitch, least": (3.0, "TM 10-7360-208-13&P, 5-3: at least three diameters (seen)"),
    "pitch, most": (8.0, "US Navy 14018, fig. 13-43 and text: the row's own source, no second was found (seen)"),
    "length beyond the grip": (math.ceil(2 * SHOP_HEAD) / 2, "by volume, the next half diameter over a driven head"),
    "end and edge distance, least, from the hole": (26.4 / 22, "calculation for M20 in holes of 22 mm: 26.4 (seen)"),
    "pitch along the load, least, from the hole": (48.4 / 22, "the same calculation: 48.4 (seen)"),
    "pitch across the load, least, from the hole": (52.8 / 22, "the same calculation: 52.8 (seen)"),
}  # fmt: skip
RIVET_HEADS = {
    "snap": (1.6, 0.7, None, "BS 275:1927 figures 1.6D and 0.7D (seen); DIN 124 has 16 x 6.5 for 10 mm (memory)"),
    "countersunk": (1.5, None, 60.0, "BS 275:1927 figures 1.5D, 60 degrees (seen)"),
}  # fmt: skip
