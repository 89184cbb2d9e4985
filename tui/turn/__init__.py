"""The turn view: the key turned, step by step or played."""
