"""Trees of values that a machine reads again: what is none of a kind is refused by a sentence."""

from dataclasses import dataclass
from typing import Literal

import pytest

from core.errors import BadValueError
from core.files.structure import from_tree


@dataclass(frozen=True)
class _Hole:
    across: float


@pytest.mark.parametrize("tree", [{"across": 3.0, "deep": 2.0}, {"deep": 2.0}, [3.0], "across"])
def test_what_is_no_such_table_is_refused_by_a_sentence(tree: object) -> None:
    with pytest.raises(BadValueError, match="is no _Hole"):
        from_tree(_Hole, tree)


@pytest.mark.parametrize(
    ("kind", "tree"),
    [(float, "3"), (float, True), (float, None), (str, 3), (int, 3.0), (int, True), (bool, 1), (Literal["a"], "b")],
)  # fmt: skip
def test_a_value_of_another_kind_is_refused_by_a_sentence(kind: object, tree: object) -> None:
    with pytest.raises(BadValueError, match="is no "):
        from_tree(kind, tree)
    if kind is float:
        with pytest.raises(BadValueError, match="is no float"):
            from_tree(_Hole, {"across": tree})
