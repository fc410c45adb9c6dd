"""The faces that lettering can be set in: six bundled ones and whatever this computer has installed."""

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import uharfbuzz as hb

from layout_core.art.font_folders import BUNDLED, font_folders, own_folder
from layout_core.errors import LetteringError, SaveError
from layout_core.files import write_whole
from layout_core.progress import Progress, no_progress

DEFAULT_FACE = "Fredoka One"
MOST_FONT_BYTES = 64_000_000
MOST_FONTS = 5_000
_ENDINGS = frozenset({".ttf", ".otf", ".ttc", ".otc"})
_KINDS = frozenset({b"\0\1\0\0", b"true", b"OTTO"})
_COLLECTION = b"ttcf"
_MOST_IN_COLLECTION = 64
_NEEDED = ("cmap", "head", "hhea", "hmtx", "maxp")
_COLOUR_TABLES = frozenset({"CBDT", "COLR", "SVG ", "sbix"})
_OUTLINE_TABLES = frozenset({"glyf", "CFF ", "CFF2"})
_LEAST_CAP, _MOST_CAP = 0.2, 1.5
"""A stated cap height outside these shares of the em is taken for a mistake of the font."""


@dataclass(frozen=True, slots=True)
class Face:
    """One face by its name, e.g. "Lato Black"; `suits` is a word on a bundled one, else empty.

    `index` is its place in a collection of several fonts, 0 in a file of one.
    """

    name: str
    family: str
    style: str
    path: Path
    is_bundled: bool = False
    suits: str = ""
    index: int = 0


@dataclass(frozen=True, slots=True)
class FontShelf:
    """The faces found, bundled ones first, and for each file passed over one sentence that names it."""

    faces: tuple[Face, ...]
    refused: tuple[str, ...] = ()

    def face(self, name: str) -> Face:
        """The face of that name, whatever its capitals. Raises LetteringError that says what there is."""
        wanted = _plain(name)
        for face in self.faces:
            if _plain(face.name) == wanted:
                return face
        bundled = ", ".join(face.name for face in self.faces if face.is_bundled)
        raise LetteringError(
            f"the font “{name[:60]}” is not on this computer, or it is none that can be used; "
            f"always there are {bundled}"
        )


@dataclass(frozen=True, slots=True, eq=False)
class OpenFont:
    """A face opened for shaping; figures in font units, y up."""

    face: Face
    font: hb.Font
    units_per_em: int
    cap_height: float


@lru_cache(maxsize=1)
def bundled_faces() -> tuple[Face, ...]:
    """The faces that travel with the program."""
    return tuple(replace(read_face(one.path), is_bundled=True, suits=one.suits) for one in BUNDLED)


def font_shelf() -> FontShelf:
    """The bundled and the installed faces, looked for once; `forget_fonts` makes it look again."""
    return _shelf(font_folders())


def forget_fonts() -> None:
    """Look at the folders again the next time, as after a font was installed."""
    _shelf.cache_clear()
    _opened.cache_clear()


@lru_cache(maxsize=4)
def _shelf(folders: tuple[Path, ...]) -> FontShelf:
    return find_fonts(folders)


def find_fonts(folders: Iterable[Path], progress: Progress = no_progress) -> FontShelf:
    """The bundled faces and those in the folders, by name; of two with one name the first found stays."""
    found: dict[str, Face] = {_plain(face.name): face for face in bundled_faces()}
    refused: list[str] = []
    paths = list(_font_files(folders))
    for number, path in enumerate(paths):
        progress(number / len(paths), f"Looking at {path.name}")
        try:
            faces_of_file = read_faces(path)
        except LetteringError as error:
            refused.append(str(error))
        else:
            for face in faces_of_file:
                found.setdefault(_plain(face.name), face)
    faces = list(found.values())
    count = len(bundled_faces())
    return FontShelf(
        (*faces[:count], *sorted(faces[count:], key=lambda face: _plain(face.name))), tuple(refused)
    )


def face_named(name: str) -> Face:
    """The face of that name; the computer is searched only when it is no bundled one.

    Raises LetteringError when there is none.
    """
    for face in bundled_faces():
        if _plain(face.name) == _plain(name):
            return face
    return font_shelf().face(name)


def read_faces(path: Path) -> tuple[Face, ...]:
    """The usable faces in a TrueType or OpenType file or collection, in its order.

    Raises LetteringError that names the file when there is none, for what is in the way of the first.
    Source: OpenType specification 1.9, Font Collections, TTC header (numFonts).
    """
    data = _font_bytes(path)
    count = int.from_bytes(data[8:12], "big") if data[:4] == _COLLECTION else 1
    faces: list[Face] = []
    reasons: list[LetteringError] = []
    for index in range(min(count, _MOST_IN_COLLECTION)):
        try:
            faces.append(_face_in(path, data, index))
        except LetteringError as error:
            reasons.append(error)
    if faces:
        return tuple(faces)
    raise reasons[0] if reasons else LetteringError(f"{path.name}: is a collection with no fonts in it")


def read_face(path: Path) -> Face:
    """The first usable face of a file. Raises as `read_faces` does."""
    return read_faces(path)[0]


def _face_in(path: Path, data: bytes, index: int) -> Face:
    face = hb.Face(hb.Blob(data), index)
    _require_usable(path.name, face)
    names = hb.OTNameIdPredefined
    family = _name(face, names.TYPOGRAPHIC_FAMILY) or _name(face, names.FONT_FAMILY) or path.stem
    style = _name(face, names.TYPOGRAPHIC_SUBFAMILY) or _name(face, names.FONT_SUBFAMILY) or "Regular"
    name = family if style.lower() in ("regular", "roman", "normal", "book") else f"{family} {style}"
    return Face(name, family, style, path, index=index)


def keep_font(path: Path) -> tuple[Face, ...]:
    """Copies a font file into the shop's own folder of fonts; its faces there.

    Raises LetteringError that names the file, and keeps nothing, when it cannot be used or written.
    """
    read_faces(path)
    target = own_folder() / path.name
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, path.read_bytes())
    except (OSError, SaveError) as error:
        raise LetteringError(f"{path.name}: cannot be kept among the shop's fonts", "font") from error
    return read_faces(target)


def open_font(face: Face) -> OpenFont:
    """The face opened. Raises LetteringError when its file is gone or broken."""
    try:
        stamp = face.path.stat().st_mtime_ns
    except OSError:
        stamp = 0
    return _opened(face, stamp)


@lru_cache(maxsize=16)
def _opened(face: Face, _stamp: int) -> OpenFont:
    opened = hb.Face(hb.Blob(_font_bytes(face.path)), face.index)
    _require_usable(face.path.name, opened)
    font = hb.Font(opened)
    return OpenFont(face, font, opened.upem, _cap_height(face.path.name, font, opened.upem))


def _cap_height(file_name: str, font: hb.Font, units_per_em: int) -> float:
    """The font's own cap height, or the height of its H (or of a letter that stands for it) without one.

    Source: OpenType specification 1.9, OS/2 table, sCapHeight (version 2 and later).
    """
    stated = font.get_metric_position(hb.OTMetricsTag.CAP_HEIGHT)
    if stated is not None and _LEAST_CAP <= stated / units_per_em <= _MOST_CAP:
        return float(stated)
    for letter in "HEIAא日":
        glyph = font.get_nominal_glyph(ord(letter))
        extents = font.get_glyph_extents(glyph) if glyph else None
        if extents is not None and extents.y_bearing > 0:
            return float(extents.y_bearing)
    bounds = font.get_font_extents("ltr")
    if bounds.ascender > 0:
        return 0.75 * float(bounds.ascender)
    raise LetteringError(f"{file_name}: says nothing about how tall its letters are; choose another font")


def _require_usable(file_name: str, face: hb.Face) -> None:
    tables = _table_tags(face)
    colours = sorted(tag.strip() for tag in tables & _COLOUR_TABLES)
    if colours:
        raise LetteringError(
            f"{file_name}: is a colour or emoji font ({', '.join(colours)}), and one ink prints no colours; "
            "choose another font"
        )
    lacking = [tag for tag in _NEEDED if tag not in tables]
    if lacking or not face.glyph_count or not 16 <= face.upem <= 16_384 or not len(face.unicodes):
        raise LetteringError(f"{file_name}: is a broken font; install it again or choose another")
    if not tables & _OUTLINE_TABLES:
        raise LetteringError(f"{file_name}: has no outlines in it; choose another font")


def _table_tags(face: hb.Face) -> set[str]:
    """The tables of the font; none where its directory is not even made of letters."""
    try:
        return set(face.table_tags)
    except UnicodeDecodeError:
        return set()


def _font_bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_FONT_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not valid"
        raise LetteringError(f"{path.name}: cannot be opened ({reason.lower()})") from error
    if len(data) > MOST_FONT_BYTES:
        raise LetteringError(
            f"{path.name}: is over {MOST_FONT_BYTES // 1_000_000} MB, more than a font can be"
        )
    if data[:4] in (b"wOFF", b"wOF2"):
        raise LetteringError(f"{path.name}: is a web font; install its TrueType or OpenType file")
    if data[:4] not in _KINDS | {_COLLECTION}:
        raise LetteringError(f"{path.name}: is neither a TrueType nor an OpenType font")
    return data


def _font_files(folders: Iterable[Path]) -> Iterator[Path]:
    """Every font file below the folders, in an order that does not depend on the disk."""
    seen: set[str] = set()
    for folder in folders:
        for where, inner, names in os.walk(folder):
            inner.sort()
            for name in sorted(names):
                path = Path(where, name)
                if path.suffix.lower() in _ENDINGS and str(path) not in seen:
                    seen.add(str(path))
                    yield path
                    if len(seen) >= MOST_FONTS:
                        return


def _name(face: hb.Face, name_id: int) -> str:
    """A name of the font on one line without control signs, empty when it has none."""
    text = face.get_name(name_id) or ""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:80]


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
