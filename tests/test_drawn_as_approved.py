"""Everything that is drawn and written for four locks, as it was approved: one line for each file, page and drawing.

Lengths are told to 0.01 mm and brought down to a digest, so that a step of a text's place is noticed and the list stays
short. What of it must agree with something outside is measured elsewhere; here it is held still.

To approve a change: `BOLTWRIGHT_APPROVE=1 python -m pytest tests/test_drawn_as_approved.py`, look at the files that the
test names (`boltwright sheets` writes them), commit.
"""

import dataclasses
import hashlib
import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from core.geometry.motion import Motion
from core.layout.layout import Layout
from core.lock.lock import Lock, paths
from core.sheets.bench_card import bench_card
from core.sheets.book import book
from core.sheets.compose import composed
from core.sheets.faces import all_sheets
from core.sheets.page import foot
from core.sheets.write import write_for_cutter, write_sheets
from core.turning.film import film
from core.whole.assembly import marks, moving
from core.whole.dimensions import dimension
from tests.counts import of_all
from tests.locks import changed, posted
from tests.sheet_reading import ASKEW, DAY, SAMPLE_NAMES, SAMPLES, job_for

GOLDEN = Path(__file__).parent / "golden" / "drawn.json"
NUMBER = re.compile(r"-?\d+\.\d+(?:e[-+]\d+)?")
ODD = changed(
    posted((20.0, -18.0), (-22.0, -20.0, 4.0), lock=ASKEW),
    {
        "unlocks": "left", "units": "in", "bolt.lobe_chamfer": 0.4, "plate.thickness": 3.0, "tooth.pickup_angle": 9.5,
        "tooth.roof": "scribed", "filing.flanks": 0.2,
    },
)  # fmt: skip
LOCKS: Mapping[str, Lock] = {
    "odd": ODD,
    **{Path(name).stem: lock for name, lock in zip(SAMPLE_NAMES, SAMPLES, strict=True)},
}
SOME = of_all(LOCKS, 2)


def even(text: str) -> str:
    """Return a text whose numbers are told to 0.01, and none of them -0."""
    return NUMBER.sub(lambda found: f"{round(float(found.group()), 2) + 0.0:.2f}", text)


def told(thing: object) -> str:
    """Return what a record holds as a text, to its last part."""
    match thing:
        case float() | np.floating():
            return f"{round(float(thing), 2) + 0.0:.2f}"
        case str():
            return even(thing)
        case np.ndarray():
            return told(thing.tolist())
        case Motion():
            return told([thing.point((0.0, 0.0)), thing.point((100.0, 0.0))])
        case Mapping():
            return " ".join(f"{key}: {told(value)}" for key, value in thing.items())
        case Sequence():
            return "[" + " ".join(map(told, thing)) + "]"
        case _ if dataclasses.is_dataclass(thing):
            parts = (told(getattr(thing, field.name)) for field in dataclasses.fields(thing))
            return f"{type(thing).__name__}({' '.join(parts)})"
        case _:
            return str(thing)


def line(text: str) -> str:
    return f"{len(text)} characters, {hashlib.sha256(text.encode()).hexdigest()[:12]}"


def files(lock: Lock, folder: Path) -> Iterator[tuple[str, str]]:
    """Yield the files written for a lock and a cutter but for PDF: its bytes are a library's, its pages are below."""
    layout = Layout(lock)
    write_sheets(layout, folder, day=DAY, source=Path("lock.toml"), scribe_outside=True)
    write_for_cutter(layout, folder / "cut", kerf=0.2, source=Path("lock.toml"))
    for path in sorted(folder.rglob("*")):
        if path.suffix in (".svg", ".md", ".txt", ".dxf"):
            yield path.relative_to(folder).as_posix(), _own(path)


def _own(path: Path) -> str:
    text = path.read_text()
    if path.suffix != ".dxf":
        return even(text)
    # the handles of a DXF and all before its entities are the library's own, and a stamp of the time among them
    tags = text[text.index("ENTITIES") :].split("\n")
    pairs = zip(tags[1::2], tags[2::2], strict=False)
    return even("\n".join(f"{code} {value}" for code, value in pairs if code.strip() != "5"))


def pages(lock: Lock) -> Iterator[tuple[str, str]]:
    """Yield the pages of the book on both papers, as they are handed to the writer of PDF."""
    for paper in ("A4", "Letter"):
        job = job_for(lock, paper)
        sheets = [composed(sheet) for sheet in all_sheets(job.layout)]
        for number, page in enumerate(book(job, sheets, bench_card(job.layout)), start=1):
            yield f"{paper} page {number}: {page.title}", told([page, foot(job, page)])


def drawings(lock: Lock) -> Iterator[tuple[str, str]]:
    """Yield what the screens draw: the layout, every dimension, the parts as they turn, the film."""
    layout = Layout(lock)
    yield "layout", told(marks(layout))
    yield "dimensions", told([dimension(layout, path) for path in paths(lock)])
    for angle in (-100.0, -30.0, 0.0, 12.0, 45.0):
        yield f"turned to {angle}", told(moving(layout, float(np.radians(angle)), 1.5))
    yield "film", told(film(layout))


@cache
def approved() -> dict[str, dict[str, str]]:
    return dict(json.loads(GOLDEN.read_text())) if GOLDEN.exists() else {}


def held(name: str, kind: str, found: Iterable[tuple[str, str]]) -> None:
    now = {f"{kind}, {what}": line(text) for what, text in found}
    if os.environ.get("BOLTWRIGHT_APPROVE"):
        kept = json.loads(GOLDEN.read_text()) if GOLDEN.exists() else {}
        own = {what: told for what, told in kept.get(name, {}).items() if not what.startswith(kind)}
        kept[name] = dict(sorted({**own, **now}.items()))
        GOLDEN.write_text(json.dumps(kept, indent=1, sort_keys=True) + "\n")
        return
    before = {what: told for what, told in approved()[name].items() if what.startswith(kind)}
    assert now == before


@pytest.mark.parametrize("name", SOME)
@pytest.mark.first(1)
def test_the_files_are_as_approved(name: str, tmp_path: Path) -> None:
    held(name, "file", files(LOCKS[name], tmp_path))


@pytest.mark.parametrize("name", SOME)
@pytest.mark.first(1)
def test_the_pages_are_as_approved(name: str) -> None:
    held(name, "page", pages(LOCKS[name]))


@pytest.mark.parametrize("name", SOME)
def test_the_drawings_are_as_approved(name: str) -> None:
    held(name, "drawing", drawings(LOCKS[name]))
