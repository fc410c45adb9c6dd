"""A file becomes `Artwork`: the door through which all art enters, guarded by the worker process."""

import re
import stat
import unicodedata
from pathlib import Path

import shapely
from shapely import MultiPolygon

from layout_core.art import caps
from layout_core.art.artwork import Artwork, outline_digest, source_digest
from layout_core.art.ink_frames import packed_choice, unpacked_layers, unpacked_map
from layout_core.art.ink_layers import InkLayers
from layout_core.art.ink_map import InkMap
from layout_core.art.pipe import Header
from layout_core.art.sandbox import SHARED, Options, Sandbox, WorkerDied, WorkerMissing, WorkerTooSlow
from layout_core.errors import ArtError, ArtLimitError
from layout_core.progress import Progress, no_progress

_SUFFIX = re.compile(r"\.(svgz?|png|jpe?g|pdf|ai)$", re.IGNORECASE)
_LONGEST_NAME = 120


def read_art(
    path: Path,
    progress: Progress = no_progress,
    *,
    timeout_s: float = caps.SECONDS,
    sandbox: Sandbox = SHARED,
) -> Artwork:
    """The art in an SVG, SVGZ, PDF, PNG or JPEG file, one-ink shapes in mm at natural size.

    Raises ArtError or ArtLimitError with one sentence that names the file; whatever `progress` raises (Stop)
    passes through. The file is read here, once; everything in it is looked at in the worker process only.
    """
    return read_art_bytes(path.name, _file_bytes(path), progress, timeout_s=timeout_s, sandbox=sandbox)


def read_art_bytes(
    name: str,
    data: bytes,
    progress: Progress = no_progress,
    *,
    timeout_s: float = caps.SECONDS,
    sandbox: Sandbox = SHARED,
) -> Artwork:
    """Like `read_art`, for bytes that came from elsewhere (the clipboard, a job file); name is for people."""
    return read_with_ink_map(data, None, progress, name=name, timeout_s=timeout_s, sandbox=sandbox)[0]


def read_with_ink_map(
    art: Path | bytes | Artwork,
    ink_map: InkMap | None = None,
    progress: Progress = no_progress,
    *,
    name: str = "art",
    timeout_s: float = caps.SECONDS,
    sandbox: Sandbox = SHARED,
) -> tuple[Artwork, InkMap]:
    """The art read under an ink map, None for the sensible default, and the map that holds for it.

    An artwork is read anew from its source. The map that comes back has the art's own colours; each prints or
    is knocked out as the nearest colour of the map given. Raises as `read_art` does, and when nothing prints.
    """
    shown, data = _named(art, name)
    header, blobs = _asked(
        shown, data, progress, {"ink": packed_choice(ink_map or "sensible")}, timeout_s, sandbox
    )
    return _artwork(shown, data, header, blobs), unpacked_map(header["ink_map"])


def read_ink_layers(
    art: Path | bytes | Artwork,
    ink_map: InkMap | None = None,
    progress: Progress = no_progress,
    *,
    name: str = "art",
    timeout_s: float = caps.SECONDS,
    sandbox: Sandbox = SHARED,
) -> InkLayers:
    """The visible area of each colour of the art, in mm on its page: with them a preview follows at once.

    `ink_layers.inked` joins those that print. Raises as `read_art` does.
    """
    shown, data = _named(art, name)
    options = {"ink": packed_choice(ink_map or "sensible"), "wants_layers": True}
    header, blobs = _asked(shown, data, progress, options, timeout_s, sandbox)
    try:
        return unpacked_layers(header["layers"], blobs[2:])
    except (KeyError, ValueError) as error:
        raise ArtError(shown, "has colours that cannot be told apart") from error


def _named(art: Path | bytes | Artwork, name: str) -> tuple[str, bytes]:
    if isinstance(art, Artwork):
        return art.name, art.source
    if isinstance(art, bytes):
        return _shown_name(name), art
    return _shown_name(art.name), _file_bytes(art)


def _asked(
    shown: str, data: bytes, progress: Progress, options: Options, timeout_s: float, sandbox: Sandbox
) -> tuple[Header, list[bytes]]:
    """The worker's answer, with its failures turned into sentences."""
    if not data:
        raise ArtError(shown, "is empty")
    if len(data) > caps.FILE_BYTES:
        raise _too_large(shown, len(data))
    try:
        header, blobs = sandbox.ask(data, progress, timeout_s, options)
    except WorkerTooSlow:
        raise ArtLimitError(
            shown, f"takes longer than {timeout_s:.0f} s to read; ask for simpler art"
        ) from None
    except WorkerDied:
        raise ArtLimitError(
            shown, "makes the drawing engine fail; it is damaged, harmful or needs too much memory"
        ) from None
    except WorkerMissing:
        raise ArtError(shown, "could not be read, as the art reader did not start; try again") from None
    if header["kind"] == "limit":
        raise ArtLimitError(shown, str(header["reason"]))
    if header["kind"] != "done":
        raise ArtError(shown, str(header["reason"]))
    return header, blobs


def _artwork(name: str, data: bytes, header: Header, blobs: list[bytes]) -> Artwork:
    outline = shapely.from_wkb(blobs[0])
    x0, y0, _, _ = outline.bounds
    outline = shapely.transform(outline, lambda xy: xy - (x0, y0))
    if not isinstance(outline, MultiPolygon) or not outline.is_valid:
        raise ArtError(name, "gives no sound shapes; ask for the art again")
    source = blobs[1] if header["is_packed"] else data
    ink_width_px = header["ink_width_px"]
    return Artwork(
        name=_SUFFIX.sub("", name) or name,
        source=source,
        suffix=str(header["suffix"]),
        source_digest=source_digest(source),
        outline=outline,
        outline_digest=outline_digest(outline),
        size_known=bool(header["size_known"]),
        route="vector" if header["route"] == "vector" else "raster",
        ink_width_px=None if ink_width_px is None else float(ink_width_px),
        notes=tuple(str(note) for note in header["notes"]),
    )


def _file_bytes(path: Path) -> bytes:
    """The bytes of a plain file within the size limit; anything else is refused before it is read."""
    name = _shown_name(path.name)
    try:
        facts = path.stat()
        if stat.S_ISDIR(facts.st_mode):
            raise ArtError(name, "is a folder; add the art files in it")
        if not stat.S_ISREG(facts.st_mode):
            raise ArtError(name, "is not a plain file")
        if facts.st_size > caps.FILE_BYTES:
            raise _too_large(name, facts.st_size)
        with path.open("rb") as file:
            return file.read(caps.FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not valid"
        raise ArtError(name, f"cannot be opened ({reason.lower()})") from error


def _too_large(name: str, size: int) -> ArtLimitError:
    return ArtLimitError(name, f"is {size / 1e6:.0f} MB; the limit is {caps.FILE_BYTES / 1e6:.0f} MB")


def _shown_name(name: str) -> str:
    """The name on one line, without control and direction signs that could disguise it."""
    plain = "".join(sign for sign in name if unicodedata.category(sign) not in ("Cc", "Cf", "Zl", "Zp", "Cs"))
    return plain[:_LONGEST_NAME] or "art"
