"""Measures, computes and makes the parts that marry a scale hard body to its running gear."""

__version__ = "0.1.0"
