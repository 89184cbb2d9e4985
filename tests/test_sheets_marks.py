"""The mark of a sheet: read as a maker types it off the paper, and refused where no sheet can bear it."""

import pytest

from core.errors import BadEntryError
from core.sheets.stamp import is_of, mark_of, read_mark


@pytest.mark.parametrize("name", ["bolt", "key-gauge", "guides", "front-plate-inside"])
def test_a_mark_is_known_however_it_is_typed(name: str) -> None:
    mark = mark_of(name, ["as it is drawn"])
    assert is_of(mark, name)
    # hyphen, no-break hyphen and dash (Unicode, chapter 6.2), none at all, small letters, blanks
    for dash in ("-", "\u2010", "\u2011", "\u2013", "", " ", " - "):
        assert read_mark(mark.replace("-", dash)) == mark
        assert read_mark(f" {mark.lower().replace('-', dash)}\n") == mark


def test_no_letter_of_a_mark_is_taken_for_another() -> None:
    letters = {c for n in range(400) for c in mark_of(str(n), [str(n)]).replace("-", "")}
    assert not letters & set("01OILU")
    # of two states one in 24 million has the mark of the other
    assert len(letters) ** 5 == pytest.approx(24e6, rel=0.02)


@pytest.mark.parametrize(
    "typed", ["", "AB", "AB-CDEF", "AB-CDEFGH", "AB-CDEF0", "AB-CDEF1", "AB-CDEFO", "AB-CDE\u00e9F", "AB_CDEFG"]
)  # fmt: skip
def test_what_is_no_mark_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(
        BadEntryError, match="is no mark of a sheet: it is 2 letters or digits"
    ) as refused:
        read_mark(typed)
    assert "\n" not in str(refused.value)
