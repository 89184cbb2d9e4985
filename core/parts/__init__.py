"""The parts of the lock, one module each; `core.registry` finds them here."""
