"""What each part is drawn from: frozen specs, filled from the build by its plain numbers.

A spec that lacks a number says which (`Missing`); one that cannot be drawn says why (`Blocked`). What the build leaves
open is drawn by usual measures, and each of these is told by its key.
"""
