"""Sheets to files: what is drawn, by which backend, written whole or not at all."""
