"""Solution to derivations, worksheets and their pages."""
