"""`[parts]`: what is made, and every measure of it that the build does not follow from elsewhere."""

from coachwork.build.sections.parts.table import Parts

__all__ = ["Parts"]
