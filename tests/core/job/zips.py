"""A saved job taken apart and put together again, rightly or wrongly."""

import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import pytest

from layout_core.errors import JobFileError
from layout_core.job.file import job_bytes, job_from_bytes
from tests.core.job.jobs import rich_job

JOB = rich_job()
DATA = job_bytes(JOB)


def members() -> dict[str, bytes]:
    return unzipped(DATA)


def unzipped(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as opened:
        return {info.filename: opened.read(info) for info in opened.infolist()}


def zipped(content: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip of these members in this order, written without any of the program's care."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as opened:
        for name, data in content.items():
            opened.writestr(name, data, zipfile.ZIP_STORED if name == "mimetype" else method)
    return buffer.getvalue()


def with_record(change: Callable[[dict[str, Any]], object]) -> bytes:
    content = members()
    record = json.loads(content["job.json"])
    change(record)
    content["job.json"] = json.dumps(record).encode()
    return zipped(content)


def refusal(data: bytes) -> str:
    """The one sentence that a file is refused with."""
    with pytest.raises(JobFileError) as caught:
        job_from_bytes("night.duskjob", data)
    text = str(caught.value)
    assert text.startswith("night.duskjob: ")
    assert "\n" not in text
    assert len(text) < 300
    return text
