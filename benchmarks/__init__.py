"""How fast the studies are, as ratios to a named baseline: `python -m benchmarks` from the repository's root."""
