"""What the fuzzer once got through is refused, or read soundly, ever since."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.hostile.oracle import Oracle

FOUND = sorted((Path(__file__).parent / "found").iterdir())


@pytest.fixture(scope="module")
def oracle(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Oracle]:
    judge = Oracle(tmp_path_factory.mktemp("found"))
    yield judge
    judge.close()


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.name)
def test_what_was_found_stays_mended(path: Path, oracle: Oracle) -> None:
    verdict = oracle.verdict(path.name.partition("-")[2], path.read_bytes())
    assert verdict.is_clean, verdict
