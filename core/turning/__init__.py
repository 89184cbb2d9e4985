"""The key's turn in a lock: what it fouls, what it takes, where it binds, followed angle by angle."""
