"""The full-screen program: its steps, its screens and its drawing."""
