"""The first screen: which lock to work on."""
