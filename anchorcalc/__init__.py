"""How hard each strap pulls, what each floor anchor holds, and which link breaks first."""

__version__ = "0.1.0"
