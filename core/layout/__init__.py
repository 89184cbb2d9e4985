"""A lock worked out: frames, the drawing's record, findings, windows, workpieces, and the contract of a part."""
