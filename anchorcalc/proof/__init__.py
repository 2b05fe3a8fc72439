"""Every check against a published value, read from the tables and computed by the functions it guards."""
