"""Solution to Parts: exact outlines with a pose, and their assembly test as solids."""
