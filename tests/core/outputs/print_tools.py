"""Outside programs that judge what we write, and a sheet of blobs to judge it on.

Each is named with the Debian package that brings it. A test that lacks one is skipped and says so; where
DUSKWRIGHT_ALL_TOOLS is set, as `.ci/run` does, it fails instead.
"""

import io
import os
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image
from shapely import MultiPolygon, Polygon

from layout_core.geometry.pose import Pose
from layout_core.job.model import Job
from layout_core.outputs.print_marks import MEDIA_MM
from layout_core.units import MM_PER_IN, mm
from tests.make import make_artwork, make_job

PACKAGES = {
    "qpdf": "qpdf", "pdfinfo": "poppler-utils", "pdffonts": "poppler-utils", "pdftotext": "poppler-utils",
    "pdftoppm": "poppler-utils", "gs": "ghostscript", "pngcheck": "pngcheck", "tiffinfo": "libtiff-tools",
}  # fmt: skip


def run_tool(name: str, *arguments: str | Path) -> str:
    """What the program prints; the test fails where it ends in an error, is skipped where it is missing."""
    if shutil.which(name) is None:
        end = pytest.fail if os.environ.get("DUSKWRIGHT_ALL_TOOLS") else pytest.skip
        end(f"{name} is missing; install it with: apt-get install {PACKAGES[name]}")
    done = subprocess.run([name, *map(str, arguments)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{name}: {done.stdout}{done.stderr}"
    return done.stdout + done.stderr


def planes(pdf: bytes, folder: Path, dpi: int) -> dict[str, NDArray[np.bool_]]:
    """The ink of every plate that has any, as Ghostscript separates the file, true where there is ink.

    A pixel is ink when its centre is: the rule is set by an operator that Ghostscript 10 keeps for this.
    """
    source = folder / "plate.pdf"
    source.write_bytes(pdf)
    run_tool(
        "gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", f"-r{dpi}", "-sDEVICE=tiffsep1",
        f"-sOutputFile={folder / 'plate.tif'}", "-c", "0 0 .setfilladjust2", "-f", source,
    )  # fmt: skip
    found = {}
    for path in sorted(folder.glob("plate(*).tif")):
        with Image.open(path) as picture:
            ink = ~np.asarray(picture.convert("1"))
        if ink.any():
            found[path.name[len("plate(") : -len(").tif")]] = ink
    return found


def trimmed(plane: NDArray[np.bool_], job: Job, dpi: int) -> NDArray[np.bool_]:
    """The part of a plane that lies on the sheet."""
    sheet = job.sheets[0]
    edge = round(MEDIA_MM / MM_PER_IN * dpi)
    rows, columns = (round(side / MM_PER_IN * dpi) for side in (sheet.length_mm, sheet.width_mm))
    return plane[edge : edge + rows, edge : edge + columns]


def pixels(picture: bytes) -> NDArray[np.bool_]:
    """True where a 1-bit picture is black."""
    with Image.open(io.BytesIO(picture)) as opened:
        assert opened.mode == "1"
        return ~np.asarray(opened)


def boxes(pdf: Path) -> dict[str, tuple[float, ...]]:
    """The page boxes that pdfinfo reports, in points."""
    text = run_tool("pdfinfo", "-box", pdf)
    rows = re.findall(r"^(\w+Box):\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)$", text, re.MULTILINE)
    return {row[0]: tuple(map(float, row[1:])) for row in rows}


def blob(vertices: int, radius_mm: float = 17.0) -> Polygon:
    """A wavy disc with a hole of as many vertices."""
    angle = np.linspace(0.0, 2 * np.pi, vertices, endpoint=False)
    reach = radius_mm * (1 + 0.1 * np.sin(5 * angle) + 0.05 * np.sin(23 * angle + 1))
    ring = np.column_stack([reach * np.cos(angle), reach * np.sin(angle)])
    return Polygon(ring, [ring[::-1] * 0.4])


def blob_job(vertices: int = 51) -> Job:
    """Sixty blobs on a sheet of 11.25 x 19 in, each of twice that many vertices and turned otherwise."""
    poses = [(0, Pose(24 + i % 6 * 47.5, 25 + i // 6 * 48.0, 7.0 * i)) for i in range(60)]
    return make_job([make_artwork(blob(vertices), "blob")], poses=poses, length_mm=mm(19))


def in_inches(area_mm2: float) -> float:
    return area_mm2 / MM_PER_IN**2


def edge_distance_px(
    outline: MultiPolygon, rows: NDArray[np.int64], columns: NDArray[np.int64], dpi: int
) -> float:
    """The farthest that any of these pixel centres lies from the outline, in px."""
    scale = MM_PER_IN / dpi
    points = shapely.points((columns + 0.5) * scale, (rows + 0.5) * scale)
    return float(shapely.distance(outline.boundary, points).max(initial=0.0)) / scale
