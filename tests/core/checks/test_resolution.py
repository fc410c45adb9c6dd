"""A picture made at exactly the wanted resolution passes, though a PNG rounds it to px per metre."""

from dataclasses import replace

import pytest

from layout_core.checks.resolution import resolution_findings
from tests.make import GLOW, make_artwork


@pytest.mark.parametrize(("dpi", "faults"), [(300, 0), (299, 1), (600, 0)])
def test_a_png_of_the_wanted_resolution_at_its_own_size_passes(dpi: int, faults: int) -> None:
    """ISO/IEC 15948, pHYs: 300 dpi is stored as 11811 px to the metre, which reads back as 299.9994 dpi."""
    stored_per_metre = round(dpi / 0.0254)
    artwork = make_artwork()
    ink_px = 50.0 / 1000.0 * stored_per_metre
    picture = replace(artwork, ink_width_px=ink_px, route="raster")
    assert len(resolution_findings(picture, 50.0, GLOW)) == faults
