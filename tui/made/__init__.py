"""Parts that are made, what was measured on them, and what was read off at the bench."""
