"""The paths on a sheet: what comes before what, bridges, and the order of the cuts."""
