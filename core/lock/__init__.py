"""The lock as a value: its fields, its rows, its paths, what was measured on it, and its history."""
