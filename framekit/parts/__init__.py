"""Solution to Parts: exact outlines with a pose, and their truth test as solids."""
