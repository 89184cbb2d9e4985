"""Values that a lock is made of: one frozen dataclass for each table of the project file."""
