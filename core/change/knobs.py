"""What is turned in a search for a remedy: one dimension, or two of which the sum stays."""

from dataclasses import dataclass

from core.lock.lock import Lock, spec_of
from core.made.standing import Standing


@dataclass(frozen=True, order=True)
class Knob:
    """One dimension by its `path`; with an `other` one that goes back by as much as the first goes on."""

    path: str
    other: str = ""

    @property
    def paths(self) -> tuple[str, ...]:
        """What it sets."""
        return (self.path, self.other) if self.other else (self.path,)

    def settings(self, lock: Lock, value: float) -> dict[str, float]:
        """Return what is set, by path [mm or degrees], for a `value` of the first."""
        found = {self.path: value}
        if self.other:
            total = float(lock.value(self.path)) + float(lock.value(self.other))
            found[self.other] = round(total - value, 9)
        return found

    def fits(self, lock: Lock, value: float) -> bool:
        """Say whether what is set may stand."""
        allowed = ((spec_of(path), v) for path, v in self.settings(lock, value).items())
        return all(spec.low <= v <= spec.high for spec, v in allowed)

    def ends(self, lock: Lock) -> tuple[float, float]:
        """Return the least and the greatest value [mm or degrees] of the first."""
        low, high = spec_of(self.path).low, spec_of(self.path).high
        if self.other:
            total = float(lock.value(self.path)) + float(lock.value(self.other))
            low = max(low, total - spec_of(self.other).high)
            high = min(high, total - spec_of(self.other).low)
        return low, high

    def set_in(self, lock: Lock, value: float) -> Lock:
        """Return the lock with it set."""
        for path, new in self.settings(lock, value).items():
            lock = lock.with_value(path, new)
        return lock

    def set_for(self, base: Standing, value: float) -> Standing:
        """Return the standing with it set; only what it touches is judged anew, by shape."""
        for path, new in self.settings(base.lock, value).items():
            base = base.with_value(path, new)
        return base
