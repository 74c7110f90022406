"""Paper lanterns for framekit: a body, a joint, a kind of file and a small catalogue."""
