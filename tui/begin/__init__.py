"""A new lock: what its maker has, and what can be made of that."""
