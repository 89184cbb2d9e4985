"""Writing sheets from the program."""
