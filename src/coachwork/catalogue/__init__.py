"""Generic data with their sources: cells, wires, plugs, preferred values. No makes, no models."""
