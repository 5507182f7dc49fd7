"""Geometry that knows no vehicles: rigid motions, circles that meet spheres, bodies tied by joints and links.

Lengths are in any one unit, the same throughout a call; angles are in radians. Every array may carry leading batch
axes, written (...), that broadcast as numpy's do; the last axis of a point or a direction is x, y, z.
"""
