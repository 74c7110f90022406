"""Sheets are laid by a short search, except by the tests of nesting itself."""

from light_search import light_search

__all__ = ["light_search"]
