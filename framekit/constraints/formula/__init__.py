"""Formulas that authors write, read by whitelist, differentiated and printed."""
