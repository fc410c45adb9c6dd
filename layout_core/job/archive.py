"""The zip a job file is: written the same to the byte each time, read without trusting a word of it."""

import hashlib
import io
import re
import zipfile
import zlib
from collections.abc import Mapping

from layout_core.art import caps
from layout_core.errors import JobFileError

MIMETYPE = "application/x-duskwright-job"
RECORD = "job.json"
MOST_FILE_BYTES = 512_000_000
MOST_MEMBER_BYTES = caps.UNPACKED_BYTES
MOST_RECORD_BYTES = 32_000_000
MOST_TOTAL_BYTES = 512_000_000
MOST_MEMBERS = 1_600
MOST_RATIO = caps.UNPACK_RATIO
"""Unpacked over packed: zeros have over 1000. A member of ours that packs so well is stored instead."""

_NAMES = re.compile(
    r"mimetype|job\.json|art/[0-9a-f]{64}\.(?:svg|png|jpg|pdf)|outline/[0-9a-f]{64}\.wkb", re.ASCII
)
_DATE = (1980, 1, 1, 0, 0, 0)
_FROM_UNIX = 3
_PLAIN_FILE = 0o100644
_ENCRYPTED = 0x1
_BROKEN = (
    zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, ValueError,
    LookupError, OverflowError,
)  # fmt: skip


def packed(members: Mapping[str, bytes]) -> bytes:
    """The zip of the members, mimetype first; the order they are given in does not matter."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        _add(archive, "mimetype", MIMETYPE.encode(), zipfile.ZIP_STORED)
        for name in sorted(members):
            _add(archive, name, members[name], _method(name, members[name]))
    return buffer.getvalue()


def members_digest(members: Mapping[str, bytes]) -> str:
    """SHA-256 (hex) over the names and hashes of the members: the same whatever zlib packs them."""
    whole = hashlib.sha256(MIMETYPE.encode())
    for name in sorted(members):
        whole.update(f"\n{name} {hashlib.sha256(members[name]).hexdigest()}".encode())
    return whole.hexdigest()


def unpacked(name: str, data: bytes) -> dict[str, bytes]:
    """Every member but the mimetype. `name` is the file's, for the message.

    Raises JobFileError for anything but a zip of the known members within the limits above.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            _require_known_members(name, infos)
            members = {info.filename: _read(name, archive, info) for info in infos}
    except _BROKEN as error:
        raise JobFileError(f"{name}: is not a Duskwright job, or it is damaged") from error
    if members.pop("mimetype") != MIMETYPE.encode():
        raise JobFileError(f"{name}: is not a Duskwright job, or it is damaged")
    return members


def _add(archive: zipfile.ZipFile, name: str, data: bytes, method: int) -> None:
    info = zipfile.ZipInfo(name, _DATE)
    info.compress_type = method
    info.create_system = _FROM_UNIX
    info.external_attr = _PLAIN_FILE << 16
    archive.writestr(info, data, compresslevel=6)


def _method(name: str, data: bytes) -> int:
    """Deflated where that helps, and never so far that it looks like a bomb.

    Pictures are packed already; an outline is digits that hardly pack.
    """
    if name.endswith((".png", ".jpg", ".wkb")):
        return zipfile.ZIP_STORED
    # The quickest level packs up to five times less than the one used.
    size = len(zlib.compress(data, 1))
    return zipfile.ZIP_DEFLATED if size < len(data) <= size * (MOST_RATIO // 5) else zipfile.ZIP_STORED


def _require_known_members(name: str, infos: list[zipfile.ZipInfo]) -> None:
    if len(infos) > MOST_MEMBERS:
        raise JobFileError(f"{name}: holds over {MOST_MEMBERS:,} members, more than a job can")
    names = [info.orig_filename for info in infos]
    if names[:1] != ["mimetype"] or infos[0].compress_type != zipfile.ZIP_STORED:
        raise JobFileError(f"{name}: is not a Duskwright job, or it is damaged")
    if len(set(names)) < len(names):
        raise JobFileError(f"{name}: holds the same member twice")
    for info in infos:
        if not _NAMES.fullmatch(info.orig_filename):
            raise JobFileError(f"{name}: holds a member that no job has ({_shown(info.orig_filename)})")
        if info.flag_bits & _ENCRYPTED:
            raise JobFileError(f"{name}: is encrypted; a job file never is")
        if info.file_size > MOST_RATIO * max(info.compress_size, 1):
            raise JobFileError(f"{name}: unpacks to over {MOST_RATIO} times its size, more than a job can")
    if RECORD not in names:
        raise JobFileError(f"{name}: holds no {RECORD}, so it is not a Duskwright job")
    if sum(info.file_size for info in infos) > MOST_TOTAL_BYTES:
        raise JobFileError(f"{name}: unpacks to over {MOST_TOTAL_BYTES // 1_000_000} MB, more than a job can")


def _read(name: str, archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """One member; the sizes in the zip's directory are not believed."""
    most = MOST_RECORD_BYTES if info.filename == RECORD else MOST_MEMBER_BYTES
    with archive.open(info) as member:
        data = member.read(most + 1)
    if len(data) > most:
        raise JobFileError(
            f"{name}: {_shown(info.filename)} is over {most // 1_000_000} MB, more than a job can"
        )
    return data


def _shown(member: str) -> str:
    return repr(member[:40])
