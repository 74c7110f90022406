"""Laws among quantities: planned, solved, enclosed and swept. It knows no frame."""
