"""Forces: typed, shown, kept in the project file, and asked for by a step."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import BadEntryError, BadFileError, BadValueError
from core.files.project_file import Project, load, save
from core.lock.fields import STRONGEST
from core.lock.lock import Lock, spec_of
from core.systems import force_entry, show_force, show_torque
from core.units import parse_force
from tui.steps.walk import all_steps, place_of

SPEC = spec_of("spring.force")


@pytest.mark.parametrize(
    ("text", "newtons"),
    [("3", 3.0), ("2.5 N", 2.5), ("2,5n", 2.5), ("1/2 newton", 0.5), ("=3-0.5", 2.5)],
)
def test_typed_force(text: str, newtons: float) -> None:
    assert parse_force(text) == newtons


@pytest.mark.parametrize("text", ["", "three", "3 mm", "3 kg", "1-1/2", "3 N 4", "nan"])
def test_what_is_no_force_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(BadEntryError, match=r"newtons|write"):
        parse_force(text)


@given(st.floats(0, STRONGEST))
def test_force_reads_back_as_written(newtons: float) -> None:
    assert parse_force(force_entry(newtons)) == pytest.approx(newtons, abs=1e-9)
    # in ounces to 0.001, which nobody can feel
    assert SPEC.read(SPEC.written(newtons, "in"), "in") == pytest.approx(newtons, abs=2e-4)


def test_shown_force_and_torque() -> None:
    assert show_force(3.0) == "3.0 N"
    assert SPEC.shown(2.25, "in") == "8.1 oz"
    assert SPEC.unit("in") == "oz"
    assert show_torque(680.0) == "0.680 N m"
    assert SPEC.nudged(3.0, "mm", 2) == pytest.approx(3.2)
    assert SPEC.nudged(0.05, "mm", -1) == 0.0


@pytest.mark.parametrize("value", [-0.1, STRONGEST + 1, float("nan"), float("inf"), True, "3"])
def test_force_that_may_not_stand(value: object) -> None:
    with pytest.raises(BadValueError, match=r"spring.force = .* it takes 0 to 1000 N"):
        Lock().with_value("spring.force", value)


def test_force_in_a_file(tmp_path: Path) -> None:
    path = tmp_path / "lock.toml"
    save(Project(None, Lock().with_value("spring.force", 4.25)), path)
    assert load(path).lock.spring.force == 4.25
    path.write_text('title = "old"\n', encoding="utf-8")
    notes = [note.text for note in load(path).notes]
    (told,) = (
        note for note in notes if note.startswith("[spring] is not in the file. Taken are: ")
    )
    assert "force 3.0 N, tip_across 0.0 mm" in told
    # of a lock of which nothing is said, nothing drags but what rubs: usual at the prompt, too
    (told,) = (note for note in notes if note.startswith("[friction] is not in the file. "))
    assert "drag 0.0 N" in told
    path.write_text("[spring]\nforce = -1\n", encoding="utf-8")
    with pytest.raises(BadFileError, match=r"lock.toml: spring.force = -1 .* it takes 0 to 1000 N"):
        load(path)


def test_every_value_of_spring_and_friction_is_asked_for() -> None:
    names = {step.name for step in all_steps()}
    assert {"spring", "friction"} <= names
    for path in (
        "spring.force",
        "spring.tip_across",
        "friction.metals",
        "friction.condition",
        "friction.drag",
    ):
        assert place_of(path) is not None
