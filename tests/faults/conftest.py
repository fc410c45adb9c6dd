"""A folder in memory where the system has one: the loops sync thousands of times."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_IN_MEMORY = Path("/dev/shm")


@pytest.fixture(scope="session")
def quick_root() -> Iterator[Path]:
    place = _IN_MEMORY if os.access(_IN_MEMORY, os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=place) as folder:
        yield Path(folder)


@pytest.fixture
def folder(quick_root: Path) -> Iterator[Path]:
    """An empty folder for one test."""
    with tempfile.TemporaryDirectory(dir=quick_root) as folder:
        yield Path(folder)
