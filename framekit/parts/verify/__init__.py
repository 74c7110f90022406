"""The test of assembled parts as solids. It imports nothing that makes parts."""
