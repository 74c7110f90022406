"""Spec to Solution: laws, plan, solving, tolerances, checks and derivations."""
