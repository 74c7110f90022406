"""Pure geometry in mm: paths of lines and arcs, offsets, arc fitting, meridians, lettering."""
