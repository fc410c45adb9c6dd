"""The print file, judged by other programs: structure, boxes, plates, areas, overprint, repeatability.

Sources: ISO 32000-1:2008, sections 7.3.5 (names), 8.6.6.4 (Separation), 8.6.7 (overprint), 14.11.2 (boxes).
"""

import io
import re
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import ImageCms

from layout_core.errors import HandOffError
from layout_core.geometry.pose import Pose
from layout_core.job.printing import PrintOptions
from layout_core.outputs.cut_plan import CutPlan, StraightCut
from layout_core.outputs.pdf_objects import pdf_name
from layout_core.outputs.print_dress import grey_profile
from layout_core.outputs.print_file import print_pdf, slug_words, underbase
from layout_core.outputs.print_marks import BLEED_MM, MEDIA_MM, mark_lines, slug_outline
from layout_core.outputs.separation import separation, separation_png
from layout_core.outputs.sheet_ink import printed_shapes, whole_ink
from layout_core.outputs.word_outlines import words_outline
from layout_core.units import mm
from tests.core.outputs.print_tools import (
    blob_job,
    boxes,
    edge_distance_px,
    in_inches,
    pixels,
    planes,
    run_tool,
    trimmed,
)
from tests.make import make_artwork, make_job

DPI = 600
BARE = PrintOptions(has_cut_lines=False, has_marks=False, has_slug=False)


@pytest.fixture(scope="module")
def separated(tmp_path_factory: pytest.TempPathFactory) -> dict[str, NDArray[np.bool_]]:
    job = blob_job()
    return planes(print_pdf(job, job.sheets[0]), tmp_path_factory.mktemp("gs"), DPI)


def write(folder: Path, pdf: bytes) -> Path:
    path = folder / "print.pdf"
    path.write_bytes(pdf)
    return path


def test_qpdf_finds_no_fault_and_poppler_no_font(tmp_path: Path) -> None:
    job = blob_job()
    path = write(tmp_path, print_pdf(job, job.sheets[0], PrintOptions(has_underbase=True)))
    assert "No syntax or stream encoding errors" in run_tool("qpdf", "--check", path)
    assert len(run_tool("pdffonts", path).splitlines()) == 2  # the head of an empty table


def test_boxes_are_exactly_sheet_bleed_and_media_in_points(tmp_path: Path) -> None:
    job = blob_job()
    found = boxes(write(tmp_path, print_pdf(job, job.sheets[0])))
    # 11.25 x 19 in = 810 x 1368 pt; bleed 0.125 in = 9 pt and media 0.375 in = 27 pt round it
    assert found["TrimBox"] == (27.0, 27.0, 837.0, 1395.0)
    assert found["BleedBox"] == (18.0, 18.0, 846.0, 1404.0)
    assert found["MediaBox"] == (0.0, 0.0, 864.0, 1422.0)


def test_plates_with_ink_are_exactly_the_named_spots(separated: dict[str, NDArray[np.bool_]]) -> None:
    assert set(separated) == {"GLOW", "CutLine"}


def test_ink_on_the_plate_is_within_a_hundredth_of_a_percent_of_the_shapes(
    separated: dict[str, NDArray[np.bool_]],
) -> None:
    job = blob_job()
    true = in_inches(whole_ink(printed_shapes(job, job.sheets[0])).area)
    measured = int(trimmed(separated["GLOW"], job, DPI).sum()) / DPI**2
    assert abs(measured / true - 1.0) < 1e-4


def test_plate_of_the_pdf_is_the_separation_but_for_pixels_at_an_edge(
    separated: dict[str, NDArray[np.bool_]],
) -> None:
    job = blob_job()
    sheet = job.sheets[0]
    ink = whole_ink(printed_shapes(job, sheet))
    ours = pixels(separation_png(separation(ink, sheet.width_mm, sheet.length_mm, DPI)))
    theirs = trimmed(separated["GLOW"], job, DPI)
    differing = np.argwhere(ours != theirs)
    assert len(differing) <= 0.0005 * ours.sum()
    assert edge_distance_px(ink, differing[:, 0], differing[:, 1], DPI) < 1.0


def test_cut_line_across_the_ink_takes_nothing_from_it(tmp_path: Path) -> None:
    block = make_artwork(shapely.box(0, 0, mm(1), mm(1)))
    job = make_job([block], poses=[(0, Pose(mm(3), mm(3)))], width_mm=mm(6), length_mm=mm(6))
    across = CutPlan(1, 1, (StraightCut(1, "across", mm(3), 0.0, mm(6), 0.0, 0, mm(3)),), ())
    options = replace(BARE, has_cut_lines=True)
    found = planes(print_pdf(job, job.sheets[0], options, plan=across), tmp_path, 300)
    assert int(found["GLOW"].sum()) == 300 * 300
    assert found["CutLine"].any()
    assert (found["CutLine"] & found["GLOW"]).any()


def test_underbase_stays_inside_the_ink_by_the_choke_on_a_plate_of_its_own(tmp_path: Path) -> None:
    block = make_artwork(shapely.box(0, 0, mm(1), mm(1)))
    job = make_job([block], poses=[(0, Pose(mm(3), mm(3)))], width_mm=mm(6), length_mm=mm(6))
    options = replace(BARE, has_underbase=True, choke_mm=mm(0.01))
    found = planes(print_pdf(job, job.sheets[0], options), tmp_path, 300)
    assert set(found) == {"GLOW", "UNDERBASE"}
    assert int(found["GLOW"].sum()) == 300 * 300
    assert int(found["UNDERBASE"].sum()) == 294 * 294  # 0.01 in is 3 px a side
    assert not (found["UNDERBASE"] & ~found["GLOW"]).any()
    assert underbase(whole_ink(printed_shapes(job, job.sheets[0])), 0.0).area == pytest.approx(mm(1) ** 2)


def test_mirrored_file_is_the_mirror_image_of_the_other(tmp_path: Path) -> None:
    corner = make_artwork(shapely.Polygon([(0, 0), (51.31, 0.07), (0.13, 23.77)]))
    job = make_job([corner], poses=[(0, Pose(60.031, 70.017))], width_mm=mm(6), length_mm=mm(6))
    seen = [tmp_path / name for name in ("front", "back")]
    found = []
    for folder, is_mirrored in zip(seen, (False, True), strict=True):
        folder.mkdir()
        pdf = print_pdf(job, job.sheets[0], replace(BARE, is_mirrored=is_mirrored))
        found.append(planes(pdf, folder, 300)["GLOW"])
    front, back = found
    assert (front != back).any()
    assert (front[:, ::-1] != back).sum() <= 0.0001 * front.sum()


def test_marks_and_slug_lie_outside_the_bleed_and_on_the_page() -> None:
    for width_mm, length_mm in ((mm(11.25), mm(19)), (mm(2), mm(3)), (mm(40), mm(60))):
        bleed = shapely.box(-BLEED_MM, -BLEED_MM, width_mm + BLEED_MM, length_mm + BLEED_MM)
        page = shapely.box(-MEDIA_MM, -MEDIA_MM, width_mm + MEDIA_MM, length_mm + MEDIA_MM)
        words = ("A long job name / Sheet A / 11.25 x 19 in / run 6", "GLOW / right-reading / 100%")
        outside = [*mark_lines(width_mm, length_mm), slug_outline(words, width_mm, length_mm)]
        for shape in outside:
            assert not shape.intersects(bleed)
            assert page.contains(shape)
        slug = outside[-1]
        assert not any(slug.intersects(line) for line in outside[:-1])


def test_slug_tells_size_run_plates_and_side() -> None:
    job = blob_job()
    left, right = slug_words(job, job.sheets[0], PrintOptions(has_underbase=True, is_mirrored=True))
    assert "Test job" in left
    assert "11.25 x 19 in" in left
    assert "run 1" in left
    assert "UNDERBASE (choke 0.004 in) under GLOW" in right
    assert "MIRRORED" in right


def test_same_sheet_gives_the_same_bytes_and_another_sheet_another_identity() -> None:
    job, other = blob_job(), blob_job(52)
    first, again, different = (print_pdf(one, one.sheets[0]) for one in (job, blob_job(), other))
    assert first == again
    identity = re.compile(rb"/ID \[<(\w+)>")
    assert identity.findall(first) != identity.findall(different)


def test_file_wears_what_pdf_x_4_asks_for() -> None:
    job = blob_job()
    pdf = print_pdf(job, job.sheets[0])
    for entry in (b"/GTS_PDFX", b"<pdfxid:GTS_PDFXVersion>PDF/X-4<", b"/Trapped /False",
                  b"/DestOutputProfile", b"xmpMM:DocumentID",
                  b"/OutputConditionIdentifier (Custom)"):  # fmt: skip
        assert entry in pdf
    assert b"/Encrypt" not in pdf
    assert b"/DeviceRGB" not in pdf
    assert b"/DeviceCMYK" not in pdf


def test_output_profile_is_a_grey_printer_profile_that_littlecms_opens() -> None:
    profile = ImageCms.ImageCmsProfile(io.BytesIO(grey_profile())).profile
    assert profile.device_class == "prtr"
    assert profile.xcolor_space.strip() == "GRAY"


def test_colour_spaces_never_bear_a_name_that_readers_take_for_inline_colours() -> None:
    job = blob_job()
    pdf = print_pdf(job, job.sheets[0], PrintOptions(has_underbase=True))
    (spaces,) = re.findall(rb"/ColorSpace << (.*?) >>", pdf)
    names = set(re.findall(rb"/(\w+) \d+ 0 R", spaces))
    assert names == {b"CsInk", b"CsUnder", b"CsCut"}
    assert not names & {b"G", b"RGB", b"CMYK", b"I"}


@pytest.mark.parametrize(
    "name", ["GLOW/1", "", " GLOW", "GLÖW", "G" * 61, "GL\nOW", "Cyan", "all", "(GLOW)", "#20"]
)
def test_spot_name_that_a_press_could_misread_is_refused(name: str) -> None:
    job = blob_job()
    with pytest.raises(HandOffError, match="spot"):
        print_pdf(job, job.sheets[0], PrintOptions(ink_spot=name))


def test_two_plates_of_one_name_are_refused() -> None:
    job = blob_job()
    with pytest.raises(HandOffError, match="same spot name"):
        print_pdf(job, job.sheets[0], PrintOptions(ink_spot="Film", cut_spot="film"))


def test_spot_name_with_a_blank_comes_out_whole(tmp_path: Path) -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(60, 60))], width_mm=120, length_mm=120)
    found = planes(print_pdf(job, job.sheets[0], replace(BARE, ink_spot="Glow green-2")), tmp_path, 72)
    assert set(found) == {"Glow green-2"}


@given(st.text(min_size=1, max_size=20))
def test_pdf_name_holds_only_signs_that_a_name_may_hold(text: str) -> None:
    name = pdf_name(text)
    assert re.fullmatch(r"/(?:[A-Za-z0-9_.+-]|#[0-9A-F]{2})*", name)
    raw = re.sub(rb"#([0-9A-F]{2})", lambda m: bytes([int(m[1], 16)]), name[1:].encode())
    assert raw == text.encode("utf-8")


def test_sheet_beyond_200_inches_takes_a_larger_unit(tmp_path: Path) -> None:
    job = make_job([make_artwork()], poses=[(0, Pose(60, 60))], length_mm=mm(300))
    pdf = print_pdf(job, job.sheets[0], replace(BARE, has_slug=True))
    assert b"/UserUnit 2" in pdf
    found = boxes(write(tmp_path, pdf))
    assert max(found["MediaBox"]) <= 14400.0
    assert found["TrimBox"][3] - found["TrimBox"][1] == pytest.approx(300 * 72 / 2)
    assert "No syntax" in run_tool("qpdf", "--check", tmp_path / "print.pdf")
    stream = re.search(rb"/FlateDecode /Length \d+ >>\nstream\n(.*?)\nendstream", pdf, re.DOTALL)
    assert stream is not None
    assert zlib.decompress(stream[1]).startswith(b"q\n0.0025 0 0 0.0025 0 0 cm")


def test_ink_beyond_the_sheet_is_cut_off_and_a_piece_wholly_beyond_left_out(tmp_path: Path) -> None:
    block = make_artwork(shapely.box(0, 0, mm(1), mm(1)))
    poses = [(0, Pose(0, mm(2))), (0, Pose(mm(9), mm(2)))]
    job = make_job([block], poses=poses, width_mm=mm(4), length_mm=mm(4))
    assert list(printed_shapes(job, job.sheets[0])) == [301]
    found = planes(print_pdf(job, job.sheets[0], BARE), tmp_path, 300)
    assert int(found["GLOW"].sum()) == 150 * 300


def test_overlapping_copies_print_once() -> None:
    block = make_artwork(shapely.box(0, 0, 40, 40))
    job = make_job([block], poses=[(0, Pose(40, 40)), (0, Pose(60, 40))])
    assert whole_ink(printed_shapes(job, job.sheets[0])).area == pytest.approx(60 * 40)


def test_words_of_any_script_in_the_slug_leave_no_blank_box() -> None:
    job = replace(blob_job(), name="夜の蛾 Ночь 🦋 mothnight")
    pdf = print_pdf(job, job.sheets[0])
    assert pdf.startswith(b"%PDF-1.6")
    missing, mark = words_outline("夜", 10.0), words_outline("?", 10.0)
    assert missing.equals(mark)
    assert not words_outline("Ночь", 10.0).equals(words_outline("????", 10.0))
