"""A lock worked out: frames, drawing, codes and findings, windows, outcomes, workpieces, and the contract of a part."""
