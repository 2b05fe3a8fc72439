"""Drawings and templates."""
