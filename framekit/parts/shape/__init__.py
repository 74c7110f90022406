"""Finished outlines of ribs, discs, flanges and the test piece, exact to lines and arcs."""
