"""Parts to Sheets: nesting, labels, cutting order and times."""
