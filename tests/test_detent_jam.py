"""A bolt that jams only over a few hundredths of a degree, as its tip leaves a steep notch, is told to jam."""

import json

from core.layout.layout import Layout
from core.report.data import report
from core.turning.binding import binding, jams_at
from tests.test_detent_torque import locks


def test_a_jam_between_two_steps_is_found_where_the_torque_peaks() -> None:
    layout = Layout(locks()[3])
    dry = binding(layout).conditions["dry"]
    assert dry.jam_high is not None
    assert dry.peak_high is None
    # the search for the least friction at which it jams looks at whole steps alone
    assert not jams_at(layout, [dry.high])


def test_every_number_of_the_report_is_one() -> None:
    for lock in locks():
        assert json.dumps(report(Layout(lock)), allow_nan=False)
