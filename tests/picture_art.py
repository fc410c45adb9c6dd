"""A drawing in two colours on white, in fine outlines, as customers send them; drawn for the pictures."""

import math

INK, FILL = "#14304a", "#7cc9bd"


def jellyfish_svg() -> bytes:
    """A jellyfish of 80 x 96 mm: a filled bell, and what a pen of 0.3 mm draws round and below it."""
    arms = "".join(_arm(x, phase) for x, phase in ((20, 0.0), (30, 1.4), (40, 2.6), (50, 0.8), (60, 2.0)))
    ribs = "".join(f'<path d="M{40 + x} 12Q{40 + 1.5 * x} 26 {40 + 1.7 * x} 38"/>' for x in (-14, -5, 5, 14))
    return f"""<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="96mm" viewBox="0 0 80 96">
<rect width="80" height="96" fill="#ffffff"/>
<g stroke="{INK}" stroke-width="0.3" fill="none" stroke-linecap="round" stroke-linejoin="round">
<path fill="{FILL}" d="M10 42C8 16 26 5 40 5S72 16 70 42Q65 36 60 42Q55 36 50 42Q45 36 40 42
Q35 36 30 42Q25 36 20 42Q15 36 10 42Z"/>{ribs}{arms}</g></svg>""".encode()


def _arm(x: float, phase: float) -> str:
    """A trailing arm, wavy from the rim down."""
    points = [(x + 2.6 * math.sin(phase + step * 0.55), 43 + 2.2 * step) for step in range(22)]
    return f'<path d="M{" L".join(f"{px:.2f} {py:.2f}" for px, py in points)}"/>'
