"""Renderers: each reads the result and computes nothing."""
