"""The marking tables as PDF, read back by pypdf: what stands on which page, and how far apart."""

import io

import pypdf
import pytest
from PIL import ImageFont

from core.sheets.lettering import font_file, width
from core.sheets.pdf_tables import tables_pdf
from core.sheets.table import Table
from tests.sheet_reading import DAY, SAMPLES, job_for

MM = 25.4 / 72
"""A point, the unit of a PDF [mm]."""


def numbered(name: str, rows: int) -> Table:
    return Table(f"Table {name}", ("number",), tuple((f"{name}{n}.",) for n in range(rows)))


def pages(*tables: Table) -> list[dict[str, float]]:
    """Return the texts of each page, with the height [mm] of their baselines above its lower edge."""
    found = []
    for page in pypdf.PdfReader(io.BytesIO(tables_pdf(job_for(SAMPLES[0]), tables))).pages:
        texts: dict[str, float] = {}

        def seen(
            text: str, _cm: object, tm: list[float], *_: object, to: dict[str, float] = texts
        ) -> None:
            if text.strip():
                to[text.strip()] = tm[5] * MM

        page.extract_text(visitor_text=seen)
        found.append(texts)
    return found


def test_a_table_that_no_page_holds_begins_at_once() -> None:
    # 46 rows of 5.4 mm, with title and head: less than the paper's 297 mm (ISO 216), more than lies in its margins
    first, second = pages(numbered("a", 46))
    assert "a0." in first
    assert "a45." in second
    assert {f"a{n}." for n in range(46)} <= {*first, *second}


def test_a_table_that_a_page_holds_is_not_torn() -> None:
    first, second = pages(numbered("a", 12), numbered("b", 30))
    assert {f"a{n}." for n in range(12)} <= first.keys()
    assert {"Table b", *(f"b{n}." for n in range(30))} <= second.keys()


def test_tables_stand_clear_of_each_other() -> None:
    (page,) = pages(numbered("a", 4), numbered("b", 4))
    rows = [page[f"a{n}."] for n in range(4)]
    pitch = rows[0] - rows[1]
    assert rows[-1] - page["Table b"] > 1.5 * pitch
    assert page["Table b"] - page["b0."] < rows[-1] - page["b0."] - 1.5 * pitch


def test_rows_that_are_done_are_ticked_and_the_others_have_an_empty_box() -> None:
    rows = tuple((f"row {n}",) for n in range(5))
    table = Table("Work", ("task",), rows, ticks=True, first=7, done=frozenset({1, 4}))
    (page,) = pages(table)
    signs = {"\N{BALLOT BOX}": {7, 9, 10}, "\N{BALLOT BOX WITH CHECK}": {8, 11}}
    assert {f"{sign} {n}" for sign, numbers in signs.items() for n in numbers} <= page.keys()
    for n in range(5):
        (box,) = [text for text in page if text.endswith(f" {n + 7}")]
        assert page[box] == pytest.approx(page[f"row {n}"], abs=0.01)


@pytest.mark.parametrize("weight", ["Regular", "Semibold"])
@pytest.mark.parametrize("text", ["Bolt, 3.2 mm", "½ in × Ø 6", "WAVY AVAIL", "i"])
def test_a_text_is_as_wide_as_another_reader_of_the_font_sets_it(weight: str, text: str) -> None:
    # Pillow, by FreeType, without pairs moved together; a letter of size 1000 has capitals 660 high
    font = ImageFont.truetype(font_file(weight), 1000, layout_engine=ImageFont.Layout.BASIC)
    assert font.getbbox("H")[3] - font.getbbox("H")[1] == pytest.approx(660, abs=8)
    assert width(text, 3.3, weight) == pytest.approx(font.getlength(text) * 3.3 / 660, rel=5e-3)


def test_every_page_says_what_it_is_of_how_many_and_of_which_day() -> None:
    for number, page in enumerate(pages(numbered("a", 70)), 1):
        (foot,) = [text for text in page if f"page {number} of 2" in text]
        assert DAY.isoformat() in foot
        assert page[foot] < 10.0
