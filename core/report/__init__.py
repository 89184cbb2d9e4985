"""What a lock comes to: as data for scripts, and as text for the bench."""
