"""Showing: the scene of a working, and each medium, which only translates it."""
