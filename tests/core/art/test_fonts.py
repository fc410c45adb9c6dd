"""Fonts: which are offered, by what name, how tall their capitals are, and which are refused and why."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from fontTools.ttLib import TTCollection, TTFont, newTable

from layout_core.art.font_folders import BUNDLED, font_folders
from layout_core.art.fonts import (
    Face,
    bundled_faces,
    face_named,
    find_fonts,
    font_shelf,
    forget_fonts,
    open_font,
    read_face,
    read_faces,
)
from layout_core.art.glyphs import glyphs_area
from layout_core.art.shaping import shaped_line
from layout_core.errors import Cancelled, LetteringError
from layout_core.progress import StopFlag
from layout_core.user_folders import config_folder
from tests.core.art.small_fonts import LETTERS, font_bytes, install, small_font


def test_at_least_five_faces_come_along_all_under_the_open_font_licence() -> None:
    assert len(bundled_faces()) >= 5
    for one in BUNDLED:
        licence = TTFont(one.path)["name"].getDebugName(13)
        stated = one.path.with_name("OFL.txt")
        text = licence if licence and "Open Font" in licence else stated.read_text("utf-8", "replace")
        assert "SIL OPEN FONT LICENSE" in text.upper(), one.file_name


@pytest.mark.parametrize("face", bundled_faces(), ids=lambda face: face.name)
def test_cap_height_is_the_one_in_the_os2_table(face: Face) -> None:
    """fontTools reads the table; OpenType 1.9, OS/2, sCapHeight."""
    font, opened = TTFont(face.path), open_font(face)
    assert opened.cap_height == font["OS/2"].sCapHeight
    assert opened.units_per_em == font["head"].unitsPerEm


def test_without_a_stated_cap_height_the_h_is_measured(tmp_path: Path) -> None:
    assert open_font(read_face(install(tmp_path, small_font(), "a.ttf"))).cap_height == 700
    assert open_font(read_face(install(tmp_path, small_font(cap_height=650), "b.ttf"))).cap_height == 650


def test_a_stated_cap_height_that_cannot_be_is_not_believed(tmp_path: Path) -> None:
    for number, wrong in enumerate((0, 3, -700, 9000)):
        path = install(tmp_path, small_font(cap_height=wrong), f"{number}.ttf")
        assert open_font(read_face(path)).cap_height == 700


def test_faces_are_named_by_family_and_style_and_found_whatever_the_capitals() -> None:
    names = [face.name for face in bundled_faces()]
    assert {"Fredoka One", "Lato Black", "Red Hat Display Black", "Fjalla One"} <= set(names)
    assert face_named(" lato  BLACK ").name == "Lato Black"
    assert (face_named("Lato Black").family, face_named("Lato Black").style) == ("Lato", "Black")


def test_an_installed_font_is_found_after_the_bundled_ones() -> None:
    install(config_folder().parent, small_font())
    forget_fonts()
    shelf = font_shelf()
    assert [face.is_bundled for face in shelf.faces[: len(BUNDLED)]] == [True] * len(BUNDLED)
    assert shelf.face("small boxes").path.name == "small.ttf"
    assert face_named("Small Boxes") == shelf.face("Small Boxes")


def test_a_second_font_of_a_bundled_name_is_passed_over(tmp_path: Path) -> None:
    install(tmp_path, small_font(family="Fredoka One"))
    shelf = find_fonts([tmp_path])
    assert len(shelf.faces) == len(BUNDLED)
    assert shelf.face("Fredoka One").is_bundled


def test_an_unknown_font_is_named_with_what_is_always_there() -> None:
    with pytest.raises(LetteringError, match=r"“No Such Face” is not on this computer.*Fredoka One"):
        face_named("No Such Face")


def _collection(*fonts: TTFont) -> bytes:
    collection = TTCollection()
    collection.fonts = list(fonts)
    return font_bytes(collection)


def test_every_face_of_a_collection_is_offered_with_its_own_widths_and_cap_height(tmp_path: Path) -> None:
    """fontTools reads the collection's faces by their number; OpenType 1.9, Font Collections."""
    wide = {**LETTERS, "H": ((50, 0, 850, 640), 900)}
    data = _collection(small_font(cap_height=700), small_font(family="Other", letters=wide, cap_height=640))
    path = install(tmp_path, data, "both.ttc")
    assert [face.name for face in find_fonts([tmp_path]).faces[len(BUNDLED) :]] == ["Other", "Small Boxes"]
    for number, face in enumerate(read_faces(path)):
        table = TTFont(path, fontNumber=number)
        opened = open_font(face)
        assert face.index == number
        assert opened.cap_height == table["OS/2"].sCapHeight
        assert shaped_line("H", opened).advance == table["hmtx"]["H"][0]


def test_a_collection_gives_the_faces_that_can_be_used(tmp_path: Path) -> None:
    broken = small_font(family="No Outlines")
    del broken["glyf"], broken["loca"]
    path = install(tmp_path, _collection(broken, small_font(family="Whole")), "mixed.ttc")
    assert [(face.name, face.index) for face in read_faces(path)] == [("Whole", 1)]
    assert find_fonts([tmp_path]).refused == ()


def _without(*tables: str) -> Callable[[], bytes]:
    def made() -> bytes:
        font = small_font()
        for table in tables:
            del font[table]
        return font_bytes(font)

    return made


def _coloured(tag: str) -> Callable[[], bytes]:
    def made() -> bytes:
        font = small_font()
        table = newTable(tag)
        table.data = bytes(16)
        table.compile = lambda _font: bytes(16)  # type: ignore[method-assign]
        font[tag] = table
        return font_bytes(font)

    return made


BAD: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "neither a TrueType nor an OpenType"),
    "words": (lambda: b"this is no font at all", "neither a TrueType nor an OpenType"),
    "cut short": (lambda: font_bytes(small_font())[:400], "is a broken font"),
    "noise": (lambda: b"\0\1\0\0" + bytes(range(256)) * 8, "is a broken font"),
    "empty collection": (lambda: b"ttcf\0\1\0\0" + bytes(8), "collection with no fonts"),
    "cut collection": (lambda: _collection(small_font())[:200], "is a broken font"),
    "web font": (lambda: b"wOF2" + bytes(100), "is a web font"),
    "no letters": (_without("cmap"), "is a broken font"),
    "no outlines": (_without("glyf", "loca"), "has no outlines"),
    "layers": (_coloured("COLR"), "colour or emoji font"),
    "pictures": (_coloured("CBDT"), "colour or emoji font"),
    "strikes": (_coloured("sbix"), "colour or emoji font"),
    "drawings": (_coloured("SVG "), "colour or emoji font"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_font_that_cannot_be_used_is_refused_in_one_sentence(case: str, tmp_path: Path) -> None:
    make, reason = BAD[case]
    path = install(tmp_path, make(), "bad.ttf")
    with pytest.raises(LetteringError, match=reason) as caught:
        read_face(path)
    assert str(caught.value).startswith("bad.ttf: ")
    shelf = find_fonts([tmp_path])
    assert shelf.refused == (str(caught.value),)
    assert len(shelf.faces) == len(BUNDLED)


def test_a_font_whose_file_has_gone_is_told(tmp_path: Path) -> None:
    path = install(tmp_path, small_font(family="Gone"))
    face = read_face(path)
    path.unlink()
    with pytest.raises(LetteringError, match=r"small\.ttf: cannot be opened"):
        open_font(face)


def test_looking_for_fonts_can_be_stopped(tmp_path: Path) -> None:
    install(tmp_path, small_font())
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        find_fonts([tmp_path], flag.tick)


def test_every_system_has_its_folders(tmp_path: Path) -> None:
    def folders(platform: str, **environment: str) -> list[str]:
        return [path.as_posix() for path in font_folders(platform, environment, tmp_path)][1:]

    home = tmp_path.as_posix()
    assert folders("linux") == [
        f"{home}/.local/share/fonts", f"{home}/.fonts", "/usr/local/share/fonts", "/usr/share/fonts"
    ]  # fmt: skip
    assert folders("linux", XDG_DATA_HOME="/d", XDG_DATA_DIRS="/x:/y") == [
        "/d/fonts", f"{home}/.fonts", "/x/fonts", "/y/fonts"
    ]  # fmt: skip
    assert folders("darwin") == [f"{home}/Library/Fonts", "/Library/Fonts", "/System/Library/Fonts"]
    assert folders("win32", WINDIR="W", LOCALAPPDATA="L") == ["L/Microsoft/Windows/Fonts", "W/Fonts"]


def test_a_font_with_flipped_bytes_works_or_is_refused(tmp_path: Path) -> None:
    """Nothing but a LetteringError comes out of a damaged font, wherever the damage is."""
    whole = face_named("Fredoka One").path.read_bytes()
    dice = random.Random(1)
    outcomes = set()
    for number in range(120):
        data = bytearray(whole)
        for _ in range(dice.choice([1, 20, 400])):
            data[dice.randrange(dice.choice([300, len(data)]))] = dice.randrange(256)
        path = install(tmp_path, bytes(data), f"{number}.ttf")
        try:
            font = open_font(read_face(path))
            shaped = shaped_line("Moth 8", font)
            area = glyphs_area(font, shaped.glyphs, {}, 5.0)
        except LetteringError:
            outcomes.add("refused")
        else:
            outcomes.add("drawn")
            assert area.is_valid
    assert outcomes == {"refused", "drawn"}
