"""Filing to fit: what is left on at each edge, what was measured, what to take off next and what that will give."""
