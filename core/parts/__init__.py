"""The parts of the lock, one module each; `core.whole.assembly` finds them here."""
