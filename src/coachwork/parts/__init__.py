"""The parts we make: each a function from its spec to a solid, then files, measured back. CAD only inside functions."""
