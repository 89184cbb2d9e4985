"""Plane geometry: exact paths of lines and arcs, rigid motions, and polygons for checks only."""
