"""The tables as typed rows and rule sets."""
