"""Opens a job in a Qt document, changes it and saves it, to be watched from outside the process.

Run as `python -m tests.faults.one_save FOLDER [in-place]`; prints whether it was saved.
The temporary file has a known name, so that a tracer can aim at it.
"""

import os
import secrets
import sys
from pathlib import Path

from app import document as documents
from app.document import Document
from layout_core.errors import SaveError
from layout_core.job import edits
from layout_core.job.file import job_bytes
from layout_core.job.model import Job
from tests.faults.saves import NEW_JOB, OLD_JOB, in_place

JOB_NAME, TEMP_NAME = "night.duskjob", f".duskwright-{'0' * 16}.tmp"


def main(folder: Path, *, is_twin: bool) -> None:
    secrets.token_hex = lambda count=None: "0" * 16  # type: ignore[assignment]
    if is_twin:
        documents.write_job = _careless  # type: ignore[attr-defined]
    document = Document()
    document.open(folder / JOB_NAME)
    document.apply("Rename", lambda job: edits.rename_job(job, NEW_JOB.name))
    before = document.job, document.undo_stack.count()
    try:
        document.save()
        words = "saved"
    except (SaveError, OSError) as error:
        words = f"refused: {error}"
    is_kept = (document.job, document.undo_stack.count()) == before
    print(f"{words}|dirty {document.is_dirty}|kept {is_kept}", flush=True)
    os._exit(0)  # how Qt's objects and the interpreter end together is not looked at here


def _careless(path: Path, job: Job) -> None:
    in_place(path, job_bytes(job))


def prepare(folder: Path) -> None:
    (folder / JOB_NAME).write_bytes(job_bytes(OLD_JOB))


if __name__ == "__main__":
    main(Path(sys.argv[1]), is_twin="in-place" in sys.argv)
