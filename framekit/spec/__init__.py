"""What the author wrote: YAML text to a frozen Spec, faults with line and column."""
