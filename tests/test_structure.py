"""Trees of values that a machine reads again: what is none of a kind is refused by a sentence."""

from dataclasses import dataclass

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
