"""Spread: what becomes of a lock whose parts are each a little off, how closely which size is to be held, and where."""
