"""The job file: one deterministic zip with the art inside, believed only after every check.

Members: mimetype (first, stored), job.json (sorted keys), art/<sha256>.<suffix> (the file as it came) and
outline/<sha256>.wkb (what was traced from it: the same job gives the same pixels whatever traces later).
"""

import json
from pathlib import Path
from typing import Any, NoReturn

import msgspec
import shapely

from layout_core.art.artwork import Artwork, source_digest
from layout_core.errors import JobFileError, LayoutError, SaveError
from layout_core.files import write_whole
from layout_core.job.archive import (
    MOST_FILE_BYTES,
    MOST_RECORD_BYTES,
    MOST_TOTAL_BYTES,
    RECORD,
    members_digest,
    packed,
    unpacked,
)
from layout_core.job.migrations import Record, migrated
from layout_core.job.model import Job
from layout_core.job.outline_bytes import outline_bytes, outline_from_bytes
from layout_core.job.records import ArtRecord, JobRecord, OriginalRecord, checked_record, job_of, record_of
from layout_core.job.soundness import require_sound

SUFFIX = ".duskjob"


def job_bytes(job: Job) -> bytes:
    """The job file as bytes: equal jobs give equal bytes with the same zlib.

    Raises SaveError when the job is larger than a job file may be, or is one that could not be opened again.
    """
    try:
        require_sound(job)
    except LayoutError as error:
        raise SaveError(f"{job.name}: does not hold together: {error}") from error
    return packed(_members(job))


def job_digest(job: Job) -> str:
    """Identifies the job and all its art (SHA-256, hex), whatever zlib packs the file."""
    return members_digest(_members(job))


def write_job(path: Path, job: Job) -> None:
    """Save the job whole or not at all. Raises SaveError; then the old file stands."""
    write_whole(path, job_bytes(job))


def read_job(path: Path) -> Job:
    """The job of a file. Raises JobFileError (JobFileNewerError for a later format) naming the file."""
    name = path.name or str(path)
    try:
        if path.exists() and not path.is_file():
            raise JobFileError(f"{name}: is not a file")
        with path.open("rb") as file:
            data = file.read(MOST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise JobFileError(f"{name}: cannot be opened ({reason.lower()})") from error
    return job_from_bytes(name, data)


def job_from_bytes(name: str, data: bytes) -> Job:
    """The job of a file's bytes; `name` is the file's, for messages. Raises as `read_job` does."""
    if not data:
        raise JobFileError(f"{name}: is empty")
    if len(data) > MOST_FILE_BYTES:
        raise JobFileError(f"{name}: is over {MOST_FILE_BYTES // 1_000_000} MB, more than a job file can be")
    members = unpacked(name, data)
    record = _record(name, members.pop(RECORD))
    artworks = _artworks(name, record, members)
    job = job_of(record, artworks, _originals(name, record, members))
    try:
        require_sound(job)
    except LayoutError as error:
        raise JobFileError(f"{name}: does not hold together: {error}") from error
    return job


def _members(job: Job) -> dict[str, bytes]:
    try:
        record = record_of(job)
    except msgspec.ValidationError as error:
        raise SaveError(f"{job.name}: does not hold together: {error}") from error
    text = json.dumps(record, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False)
    members = {RECORD: f"{text}\n".encode()}
    for art in job.arts:
        members[_source_name(art.artwork.source_digest, art.artwork.suffix)] = art.artwork.source
        members[_outline_name(art.artwork.outline_digest)] = outline_bytes(art.artwork.outline)
        if art.original is not None:
            members[_outline_name(art.original.outline_digest)] = outline_bytes(art.original.outline)
    if sum(map(len, members.values())) > MOST_TOTAL_BYTES or len(members[RECORD]) > MOST_RECORD_BYTES:
        raise SaveError(
            f"{job.name}: is over {MOST_TOTAL_BYTES // 1_000_000} MB, more than a job file holds; "
            "remove art that it no longer needs"
        )
    return members


def _source_name(digest: str, suffix: str) -> str:
    return f"art/{digest}.{suffix}"


def _outline_name(digest: str) -> str:
    return f"outline/{digest}.wkb"


def _record(name: str, data: bytes) -> JobRecord:
    try:
        record = json.loads(data.decode("utf-8"), parse_constant=_no_constant, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise JobFileError(f"{name}: its {RECORD} cannot be read") from error
    if not isinstance(record, dict):
        raise JobFileError(f"{name}: its {RECORD} is no record of a job")
    record = migrated(name, record)
    try:
        return checked_record(record)
    except msgspec.ValidationError as error:
        raise JobFileError(f"{name}: its {RECORD} is wrong: {error}") from error


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number")


def _once(pairs: list[tuple[str, Any]]) -> Record:
    record = dict(pairs)
    if len(record) < len(pairs):
        raise ValueError("a key stands twice")
    return record


def _artworks(name: str, record: JobRecord, members: dict[str, bytes]) -> dict[int, Artwork]:
    """The artwork of each art id. Raises JobFileError unless art named and art present are the same."""
    wanted = {_source_name(art.source, art.suffix) for art in record.arts}
    wanted |= {_outline_name(art.outline) for art in record.arts}
    wanted |= {_outline_name(art.original.outline) for art in record.arts if art.original is not None}
    for member in sorted(wanted ^ members.keys()):
        state = "is missing" if member in wanted else "belongs to no art"
        raise JobFileError(f"{name}: {member} {state}")
    for member, data in members.items():
        if source_digest(data) != member.partition("/")[2].partition(".")[0]:
            raise JobFileError(f"{name}: {member} is not what was saved; its content has changed")
    return {art.art_id: _artwork(name, art, art, members) for art in record.arts}


def _originals(name: str, record: JobRecord, members: dict[str, bytes]) -> dict[int, Artwork]:
    """What each art was before anything was done to it, of those that say so."""
    return {
        art.art_id: _artwork(name, art, art.original, members)
        for art in record.arts
        if art.original is not None
    }


def _artwork(
    name: str, art: ArtRecord, shapes: ArtRecord | OriginalRecord, members: dict[str, bytes]
) -> Artwork:
    """The artwork of the art's source with these shapes: its own, or those it had at first."""
    try:
        outline = outline_from_bytes(members[_outline_name(shapes.outline)])
    except (ValueError, shapely.errors.ShapelyError) as error:
        reason = error if isinstance(error, ValueError) else "cannot be read"
        raise JobFileError(f"{name}: the outline of {shapes.name[:40]!r} {reason}") from error
    return Artwork(
        name=shapes.name,
        source=members[_source_name(art.source, art.suffix)],
        suffix=art.suffix,
        source_digest=art.source,
        outline=outline,
        outline_digest=shapes.outline,
        size_known=shapes.size_known,
        route=shapes.route,
        ink_width_px=shapes.ink_width_px,
        notes=tuple(shapes.notes),
    )
