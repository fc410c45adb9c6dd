"""The worker's side of intake: bytes of any kind become one-ink shapes, or a refusal."""

from layout_core.art.converted import Converted
from layout_core.art.ink_route import SENSIBLE, Asked
from layout_core.art.pdf_route import read_pdf
from layout_core.art.raster import read_picture
from layout_core.art.sniff import kind_of, unpacked
from layout_core.art.svg_route import read_svg
from layout_core.progress import Progress, no_progress


def convert(
    data: bytes,
    progress: Progress = no_progress,
    asked: Asked = SENSIBLE,
) -> tuple[Converted, bytes]:
    """The shapes and the file's unpacked bytes. Raises Refused or OverLimit; runs in the worker process only,
    for a renderer that meets a hostile file can end the process it runs in."""
    plain = unpacked(data)
    kind = kind_of(plain)
    if kind == "svg":
        return read_svg(plain, progress, asked), plain
    if kind == "pdf":
        return read_pdf(plain, progress, asked), plain
    return read_picture(plain, kind, progress, asked), plain
