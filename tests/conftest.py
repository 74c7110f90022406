"""Puts this folder on the import path, so that every test reaches the oracle `truth.solids`."""
