"""Locks on the disk: the project file, safe saving, the recovery copy, and the history beside it."""
