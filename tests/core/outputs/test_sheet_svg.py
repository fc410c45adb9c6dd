"""Sheets as SVG: true size, no error adds up, and two readers see what we meant.

Source of the unit: CSS Values and Units Level 3, section 6.2 (96 px to the inch).
"""

import io

import numpy as np
import pytest
import resvg_py
import shapely
from lxml import etree
from PIL import Image
from svgelements import SVG
from svgelements import Path as SvgPath

from layout_core.errors import HandOffError
from layout_core.outputs.cut_guide import cut_guide_svg
from layout_core.outputs.cut_plan import cut_plan
from layout_core.outputs.sheet_ink import printed_shapes
from layout_core.outputs.sheet_svg import sheet_svg
from layout_core.units import MM_PER_IN
from tests.core.outputs.print_tools import blob_job

NAME = "{http://www.w3.org/2000/svg}"


def test_one_group_for_the_ink_one_path_a_copy_and_nothing_else() -> None:
    job = blob_job()
    root = etree.fromstring(sheet_svg(job, job.sheets[0], "Glow green"))
    assert (root.get("width"), root.get("height")) == ("285.75mm", "482.6mm")
    assert root.get("viewBox") == "0 0 285.75 482.6"
    (group,) = root
    assert group.get("id") == "Glow_green"
    assert [path.get("id") for path in group] == [f"copy-{301 + i}" for i in range(60)]
    assert {path.get("fill-rule") for path in group} == {"evenodd"}
    assert not root.xpath("//*[@transform or @style or @class]")


def test_every_point_read_back_lies_within_half_a_micrometre() -> None:
    job = blob_job(400)
    data = sheet_svg(job, job.sheets[0])
    shapes = list(printed_shapes(job, job.sheets[0]).values())
    paths = [one for one in SVG.parse(io.BytesIO(data), ppi=96).elements() if isinstance(one, SvgPath)]
    assert len(paths) == len(shapes)
    # svgelements turns mm into px with an error of its own of half a millionth, so the scale is measured
    scale = 285.75 / SVG.parse(io.BytesIO(data), ppi=96).width
    worst = 0.0
    for path, shape in zip(paths, shapes, strict=True):
        read = np.array([(seg.end.x, seg.end.y) for seg in path if seg.end is not None]) * scale
        true = shapely.get_coordinates(shape)
        assert len(read) >= len(true) - 2
        for point in read[:: max(1, len(read) // 40)]:
            worst = max(worst, float(np.abs(true - point).max(axis=1).min()))
    assert worst <= 0.0005 + 2e-5


def test_renderer_finds_the_same_ink() -> None:
    job = blob_job()
    picture = resvg_py.svg_to_bytes(svg_string=sheet_svg(job, job.sheets[0]).decode(), dpi=300)
    with Image.open(io.BytesIO(bytes(picture))) as opened:
        assert opened.size == (3375, 5700)
        alpha = np.asarray(opened.convert("RGBA"))[:, :, 3].astype(float) / 255
    true = sum(shape.area for shape in printed_shapes(job, job.sheets[0]).values())
    assert alpha.sum() * (MM_PER_IN / 300) ** 2 == pytest.approx(true, rel=1e-4)


def test_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_svg(blob_job(), blob_job().sheets[0]) == sheet_svg(blob_job(), blob_job().sheets[0])


def test_spot_name_that_is_no_group_name_is_refused() -> None:
    job = blob_job()
    with pytest.raises(HandOffError):
        sheet_svg(job, job.sheets[0], '"><script>')


def test_cut_lines_stand_at_true_size_in_the_order_of_the_cuts() -> None:
    job = blob_job()
    plan = cut_plan(job, job.sheets[0])
    root = etree.fromstring(cut_guide_svg(job.sheets[0], plan))
    straight, outlines = root
    assert [path.get("id") for path in straight] == [f"cut-{n + 1}" for n in range(len(plan.cuts))]
    assert len(outlines) == len(plan.contours)
    assert root.get("width") == "285.75mm"
