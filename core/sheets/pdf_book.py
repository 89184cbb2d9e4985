"""A PDF document with our letters, for drawn pages and for tables."""

from datetime import UTC, date, datetime, time
from typing import Any

from fpdf import FPDF
from fpdf.output import OutputProducer

from core.sheets.leaf import MARGIN
from core.sheets.lettering import font_file, printable

FONT = "lettering"
POINTS = 72 / 25.4
"""Points in a mm: sizes of letters are given in points."""


class _Plain(OutputProducer):
    """Writes a document that does nothing when it is opened: the library's own would turn to a zoom."""

    def _finalize_catalog(self, catalog_obj: Any, *args: Any, **rest: Any) -> None:
        super()._finalize_catalog(catalog_obj, *args, **rest)
        catalog_obj.open_action = None


class Book(FPDF):
    """A PDF document in mm with our letters, that says the same whenever it is written for the same day."""

    def __init__(self, day: date, title: str) -> None:
        """Start without a page; `title` goes into the document's own data."""
        super().__init__(unit="mm", format=(210.0, 297.0))
        self.set_auto_page_break(False)
        self.set_margin(MARGIN)
        self.add_font(FONT, "", font_file("Regular"))
        self.add_font(FONT, "B", font_file("Semibold"))
        self.set_title(printable(title))
        self.set_producer("boltwright")
        self.set_creator("boltwright")
        self.set_lang("en-GB")
        self.set_creation_date(datetime.combine(day, time(), UTC))

    def data(self) -> bytes:
        """Return the file."""
        return bytes(self.output(output_producer_class=_Plain))
