"""The nester `quick`: a repeatable search on a grid."""
