"""Proposals and the map: which locks there could be, many worked out at a time, and what limits them."""
