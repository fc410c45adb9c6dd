"""One page of a PDF: opened within limits, and drawn by the reference renderer (PDFium) at any scale."""

import math
from dataclasses import dataclass

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium

from layout_core.art import caps
from layout_core.art.affine import Affine, after
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.render import Alpha
from layout_core.art.viewport import PX_PER_IN, Box

PX_PER_PT = PX_PER_IN / 72.0
"""Source: ISO 32000-1 section 8.3.2.3: a unit of user space is 1/72 in unless the file says otherwise."""
_SLACK_PX = 1e-6
_MOST_PT = 14_400.0 * 10


@dataclass(frozen=True, slots=True)
class PdfPage:
    """The first page of a document, in px of 1/96 in, y down, corner at the origin, turned as it is shown.

    `to_px` maps the page's own user space there. `handle` and `document` are PDFium's.
    """

    handle: pypdfium2.PdfPage
    document: pypdfium2.PdfDocument
    page_count: int
    width_px: float
    height_px: float
    to_px: Affine

    def picture(self, box: Box, scale: float) -> Alpha:
        """Red, green, blue, alpha of the cut-out (x, y, width, height in px), `scale` samples to the px."""
        columns = max(1, math.ceil(box[2] * scale - _SLACK_PX))
        rows = max(1, math.ceil(box[3] * scale - _SLACK_PX))
        bitmap = pypdfium2.PdfBitmap.new_native(columns, rows, pdfium.FPDFBitmap_BGRA)
        pdfium.FPDFBitmap_FillRect(bitmap, 0, 0, columns, rows, 0)
        step = scale * PX_PER_PT
        matrix = pdfium.FS_MATRIX(step, 0.0, 0.0, step, -box[0] * scale, -box[1] * scale)
        clip = pdfium.FS_RECTF(0.0, 0.0, float(columns), float(rows))
        flags = pdfium.FPDF_REVERSE_BYTE_ORDER
        pdfium.FPDF_RenderPageBitmapWithMatrix(bitmap, self.handle, matrix, clip, flags)
        return np.array(bitmap.to_numpy())


def opened_page(data: bytes) -> PdfPage:
    """The first page. Raises Refused for a locked, damaged or empty file, OverLimit for what is too large."""
    try:
        document = pypdfium2.PdfDocument(data)
        count = len(document)
        page = document[0]
    except (pypdfium2.PdfiumError, IndexError) as error:
        if pdfium.FPDF_GetLastError() == pdfium.FPDF_ERR_PASSWORD or "assword" in str(error):
            raise Refused("is locked with a password; ask for a copy without one") from error
        raise Refused("is a damaged PDF file; ask for it again") from error
    left, bottom, right, top = _shown_box(page)
    width, height = page.get_size()
    if not (0 < width <= _MOST_PT and 0 < height <= _MOST_PT):
        raise OverLimit(f"has a page of {width:.0f} by {height:.0f} points, beyond any sheet")
    if pdfium.FPDFPage_CountObjects(page) > caps.ELEMENTS:
        raise OverLimit(f"draws more than {caps.ELEMENTS:,} things on a page")
    upright = {
        0: (1.0, 0.0, 0.0, -1.0, -left, top),
        90: (0.0, 1.0, 1.0, 0.0, -bottom, -left),
        180: (-1.0, 0.0, 0.0, 1.0, right, -bottom),
        270: (0.0, -1.0, -1.0, 0.0, top, right),
    }[page.get_rotation()]
    to_px = after((PX_PER_PT, 0.0, 0.0, PX_PER_PT, 0.0, 0.0), upright)
    return PdfPage(page, document, count, width * PX_PER_PT, height * PX_PER_PT, to_px)


def _shown_box(page: pypdfium2.PdfPage) -> Box:
    """Left, bottom, right, top of what is shown: the crop box within the media box, in points."""
    media, crop = page.get_mediabox(), page.get_cropbox()
    left, bottom = max(media[0], crop[0]), max(media[1], crop[1])
    right, top = min(media[2], crop[2]), min(media[3], crop[3])
    if right <= left or top <= bottom:
        left, bottom, right, top = media
    return float(left), float(bottom), float(right), float(top)
