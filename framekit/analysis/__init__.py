"""Allowed ranges, sweeps of one frame, and one scale for a set."""
