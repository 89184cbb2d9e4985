"""What can be done, with which keys."""
