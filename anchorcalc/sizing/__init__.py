"""Which backing to buy."""
