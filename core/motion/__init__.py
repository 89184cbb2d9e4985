"""The turn of the key: the law of motion, the turn check, and the forces that it takes."""
