"""What is at hand in a step that asks for rows while there are none: a prompt that takes nothing."""

from typing import Any, ClassVar

from core.lock.row import RowKind
from core.lock.spec import Entering, Kind, Spec
from tui.keys.of_work import ROW_ADD


class Nothing(Kind):
    """No value at all; how to have one is all that there is to say."""

    name = "nothing"
    entering: ClassVar[Entering] = "none"
    tried = False

    def allowed(self, spec: Spec) -> str:
        """Nothing."""
        del spec
        return "nothing yet"

    def check(self, spec: Spec, value: object, name: str) -> Any:
        """Refuse whatever it is."""
        raise self.refused(spec, value, name)

    def read(self, spec: Spec, text: str, units: str) -> object:
        """Refuse whatever it is."""
        del units
        raise self.refused_entry(spec, text)

    def shown(self, value: object, units: str) -> str:
        """Nothing."""
        del value, units
        return ""

    def hint(self, spec: Spec, units: str) -> str:
        """Say how to have one."""
        del spec, units
        return f"None so far: {ROW_ADD.shown} adds one."


NOTHING = Nothing()


def none_yet(kind: RowKind | None) -> Spec:
    """Return what stands in the place of a prompt where there is none of a kind yet."""
    plural, about = ("prompts", "") if kind is None else (kind.plural, f"{kind.about}.")
    return Spec(NOTHING, f"no {plural} yet", about)
