"""Laying parts on sheets: shapes, no-fit polygons and compaction, which both nesters share."""
