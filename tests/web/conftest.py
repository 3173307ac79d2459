"""Fixtures for pages: see `conftest_web.py`, which tests import from too."""

from conftest_records import make_store, store
from conftest_web import client, furnished, pair, served

__all__ = ["client", "furnished", "make_store", "pair", "served", "store"]
