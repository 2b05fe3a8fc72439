"""Results on a terminal."""
