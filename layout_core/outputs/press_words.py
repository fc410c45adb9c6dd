"""What the press ticket says: the steps at the press, care, and how heat burns.

Everything here is common practice, no source, or from memory, unless a line names its source.
"""

from layout_core.job.model import Job, Piece
from layout_core.job.recipes import Recipe
from layout_core.units import write_number

STEPS = (
    "Read the transfer's own sheet first: it outranks every figure here.",
    "Garment square on the platen, the side to print up; seams, collar, zips, buttons, pockets and cords "
    "off the heated area.",
    "Pre-press the bare garment: it drives out moisture and flattens, and shows whether the pressure is "
    "even.",
    "Fold garment and transfer in half to find both middles, or use the platen's line. Lay the transfer as "
    "its own sheet says (as a rule ink to the cloth, carrier up), arrow to the collar, measured as on "
    "its card.",
    "Press. Open, wait as the recipe says, and peel in one smooth pull, low and flat.",
    "Look at it by day and in the dark before the next one.",
)
FIRST_OFF = (
    "First-off test, before the run: one garment of the same fabric and colour. It is square and at its "
    "height; all of it came off the carrier; no scorch, shine or tint; a stretch does not crack it; it "
    "glows after light."
)
OBSTRUCTIONS = (
    "Seams · collar ribs · zips · buttons · pockets · drawcords · hems · labels · old prints: none of "
    "them under the heated platen. If one cannot be moved, use a smaller platen or a pad that lifts the "
    "print above it."
)
CARE = (
    "For the customer: wait a day before the first wash. Inside out, cold, mild; hang or tumble low. No "
    "iron on the print. It glows after light: sunlight charges it best, indoor light more slowly. Charge "
    "it before each use."
)


def burn_caution() -> str:
    """When hot surfaces burn, in both degrees, each figure with its mark."""
    return (
        "Bare metal burns skin at about 65-70 °C (149-158 °F) in 1 s and 55-60 °C (131-140 °F) in 10 s; "
        "any material at 51 °C (124 °F) in 1 min, 48 °C (118 °F) in 10 min, 43 °C (109 °F) in 8 h (ISO "
        "13732-1, from memory); 60 °C (140 °F) in about 5 s (ASTM C1055, as quoted elsewhere). A press "
        "is far hotter: it burns at once."
    )


def heat_text(recipe: Recipe) -> tuple[str, str]:
    """The heat in Fahrenheit and in Celsius, e.g. ("340 °F", "171 °C")."""
    setting = recipe.setting
    if setting is None:
        return "do not press", ""
    return _span(setting.heat_f, "°F"), _span(setting.heat_c, "°C")


def span_text(values: tuple[float, float]) -> str:
    """E.g. "6-8", or "10" when both are the same."""
    return f"{values[0]:g}" if values[0] == values[1] else f"{values[0]:g}-{values[1]:g}"


def size_line(job: Job, piece: Piece) -> str:
    """Width x height in inches."""
    return " × ".join(write_number(side, "in", 2) for side in job.size_of(piece)) + " in"


def _span(values: tuple[float, float], unit: str) -> str:
    low, high = (round(value) for value in values)
    return f"{low} {unit}" if low == high else f"{low}-{high} {unit}"
