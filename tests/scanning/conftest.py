"""The class on paper, taken once for all tests of reading."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import pytest

from stacks import Class, a_class


@pytest.fixture(scope="session")
def heron(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Class]:
    """Three pupils, two sides each, taken by a scanner, a photocopier and a phone."""
    before = cv2.getNumThreads()
    cv2.setNumThreads(1)
    yield a_class(tmp_path_factory.mktemp("heron"))
    cv2.setNumThreads(before)
