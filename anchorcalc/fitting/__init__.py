"""What to buy, drill and tighten, what is in the way, and what it weighs."""
