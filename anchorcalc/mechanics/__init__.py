"""Pure mechanics: numbers in SI in, numbers in SI out; knows no scenario, no tables, no screen."""
