"""The scenario in numbers, worked out once."""
