"""Bodies and materials, every figure with unit, tolerance and source."""
