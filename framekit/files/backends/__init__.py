"""The built-in backends: siblings that never import each other."""
