"""What is made already, as a part of the lock: the workpieces, and what the checks say of those made."""

from core.change.workpieces import WORKPIECES
from core.registry import Part

PART = Part("made", 95, workpieces=WORKPIECES)
