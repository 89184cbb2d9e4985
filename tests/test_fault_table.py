"""The table of faults says what the studies found, and no more."""

from tests.fault_table import STUDIES, rows


def test_every_study_has_its_row_and_nothing_was_lost() -> None:
    assert tuple(rows()) == STUDIES
    assert all(tried > 0 and lost == 0 for tried, lost in rows().values())
