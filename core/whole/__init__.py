"""What needs every part of the lock."""
