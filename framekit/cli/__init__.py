"""The command line: one file a command; prints, never computes."""
