"""Test piece, its readings, and batches of sheets."""
