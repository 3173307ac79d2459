"""Finding is tested with a cache of its own, so that nothing old is ever read."""

from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Put the atlas of this run into a folder of this run."""
    folder = tmp_path_factory.mktemp("atlas")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("CHALKPOINT_CACHE", str(folder))
        yield folder
