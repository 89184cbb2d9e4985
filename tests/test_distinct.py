"""Numbers put in order, each once: against numpy's own."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from core.mechanism.maths import distinct


@given(st.lists(st.floats() | st.sampled_from([0.0, -0.0, 1.0, 1.0 + 2.0**-52])))
def test_distinct_is_what_numpy_finds(numbers: list[float]) -> None:
    given = np.array(numbers)
    found, wanted = distinct(given), np.unique(given)
    assert np.array_equal(found, wanted, equal_nan=True)
    assert np.array_equal(np.signbit(found), np.signbit(wanted)) or 0.0 in numbers
