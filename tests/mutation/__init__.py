"""Mutants of core: one small change at a time, and do the tests see it?

`python -m tests.mutation --seed 1 --count 300` draws mutants at random, runs for each only the tests that go through
the changed line, in parallel and with a time limit, and prints a table by room. See DEVELOPERS.md.
"""
