"""Fixtures for records: see `conftest_records.py`."""

from conftest_records import make_store, other, store, teacher

__all__ = ["make_store", "other", "store", "teacher"]
