"""Every switch, channel and accessory as one machine, to be explored: in the making, not a study yet.

The machines, their product and the explorer are here; wishes are read by `build.sections.radio`. There is no `STUDY`
until the findings are, so nothing of this is asked or answered.
"""
