"""The lock at hand, what is typed, what is unsaved: the state that the screens show."""
