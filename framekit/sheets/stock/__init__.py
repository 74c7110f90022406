"""Which stock there is, and which parts go on which of its sheets."""
