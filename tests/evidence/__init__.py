"""Evidence for every number of the report: what it is held against, from which source, and how far off it was seen.

`python -m tests.evidence` prints the page; `DEVELOPERS.md` has it pasted, and `tests/test_evidence.py` holds it.
"""
