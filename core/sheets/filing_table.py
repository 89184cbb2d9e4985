"""The filing plan as a table: the edges in their order, what is left on, what it costs to take more off."""

from core.filing.as_filed import MEASURES
from core.filing.plan import edges
from core.layout.layout import Layout
from core.sheets.sizes import size
from core.sheets.table import Table

TITLE = "Filing plan"
NOTES = (
    (
        "Guides and outside first; then roof and relief before the bit, the bit before the flanks. What is left on is "
        "common practice, no source; change it in the step Filing."
    ),
    (
        "Travel: how much farther (+) or less far (-) the key carries the bolt for each length taken off. What is off "
        "stays off: stop early, try the key, measure."
    ),
)


def filing_table(layout: Layout) -> Table:
    """Return the plan as a table."""
    rows = [
        (edge.name, size(layout, edge.left), edge.order, _costs(edge.costs), edge.may_stay)
        for edge in edges(layout)
    ]
    return Table(
        TITLE, ("edge", "left on", "when", "travel", "may it stay full"), tuple(rows), NOTES,
        widths=(34, 26, 50, 18, 64),
    )  # fmt: skip


def _costs(share: float) -> str:
    return "none" if abs(share) < 0.005 else f"{share:+.2f} ×"


def measures_table(layout: Layout) -> Table:
    """Return what can be measured while filing, with the size to come to and the size with everything left on."""
    rows = [
        (m.name, m.label, size(layout, m.full(layout)), size(layout, m.finished(layout)), m.how)
        for m in MEASURES
    ]
    return Table("What to measure", ("name", "what", "full", "finished", "how"), tuple(rows))
