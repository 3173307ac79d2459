"""Fixtures for pages: see `conftest_web.py`, which tests import from too."""

from conftest_web import client, furnished, served, store

__all__ = ["client", "furnished", "served", "store"]
