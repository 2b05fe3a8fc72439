"""Pulls, links and rules together: the check and its words."""
