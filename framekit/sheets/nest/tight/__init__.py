"""The nester `tight`: a search by the clock in a process of its own."""
