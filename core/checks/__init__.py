"""All that there is to say of a lock, by whatever has something to say, and the catalogue of what that can be."""
