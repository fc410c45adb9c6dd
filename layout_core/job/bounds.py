"""The most and the least that the values of a job may be; one refusal a value.

All figures are invented: far above what a shop needs, far below what makes the program slow or the numbers
coarse. Every check raises LayoutError with one sentence, and returns the value in its tidy form.
"""

import math
import unicodedata
from dataclasses import replace

import shapely

from layout_core.art import caps
from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import checked_ink_map
from layout_core.art.lettering import checked_lettering
from layout_core.art.repair import Repair, checked_repair, in_order
from layout_core.art.stock import checked_stock
from layout_core.errors import InkMapError, LayoutError, LetteringError, RepairError
from layout_core.geometry.pose import Pose
from layout_core.job.model import Art, Order, OrderLine, Piece, Sheet
from layout_core.units import write_number

MOST_ARTS = 500
MOST_PIECES = 5_000
MOST_SHEETS = 200
MOST_PLACED = 20_000
MOST_ORDERS = 1_000
MOST_LINES = 10_000
MOST_WAIVERS = 10_000
MOST_COPIES = 100_000
MOST_RUN = 1_000_000
MOST_ID = 2**53 - 1
MOST_TEXT = 120
MOST_NOTE = 500
MOST_NOTES = 200
MOST_SOURCE_BYTES = caps.UNPACKED_BYTES
MOST_VERTICES = caps.VERTICES
LEAST_PIECE_MM = 0.1
MOST_PIECE_MM = 10_000.0
LEAST_SHEET_MM = 1.0
MOST_SHEET_MM = 100_000.0
MOST_GAP_MM = 1_000.0
FARTHEST_MM = 100_000.0

_TURNS_TEXT_ROUND = frozenset(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A))))


def checked_text(text: str, what: str, *, most: int = MOST_TEXT, may_be_empty: bool = False) -> str:
    """The text on one line, without control signs or signs that turn the reading direction, cut at `most`."""
    whole = text.encode("utf-8", "replace").decode("utf-8")
    kept = "".join(" " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in whole)
    tidy = " ".join("".join(c for c in kept if c not in _TURNS_TEXT_ROUND).split())[:most].rstrip()
    if not tidy and not may_be_empty:
        raise LayoutError(f"{what} must not be empty")
    return tidy


def checked_count(value: int, what: str, least: int, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise LayoutError(f"{what} is {value}; it must be a whole number from {least} to {most:,}")
    return value


def checked_length(value: float, what: str, least_mm: float, most_mm: float) -> float:
    if not math.isfinite(value) or not least_mm <= value <= most_mm:
        shown = f"{write_number(value, 'mm', 3)} mm" if math.isfinite(value) else str(value)
        raise LayoutError(f"{what} is {shown}; it must be from {least_mm:g} to {most_mm:,.0f} mm")
    return float(value)


def checked_pose(pose: Pose) -> Pose:
    """The pose with its turn from 0 up to 360 degrees; refused beyond FARTHEST_MM."""
    for value in (pose.x_mm, pose.y_mm):
        checked_length(abs(value), "the distance from the sheet's corner", 0.0, FARTHEST_MM)
    return replace(pose, turn_deg=checked_turn(pose.turn_deg))


def checked_turn(turn_deg: float) -> float:
    """The turn from 0 up to 360 degrees."""
    if not math.isfinite(turn_deg) or abs(turn_deg) > 1e6:
        raise LayoutError(f"a turn of {turn_deg} degrees is not possible")
    turned = turn_deg % 360.0
    return 0.0 if turned == 360.0 else turned  # a tiny negative turn rounds up to a full one


def checked_artwork(artwork: Artwork) -> Artwork:
    """The artwork with tidy words; refused when it has no ink or is beyond what a job file holds."""
    name = checked_text(artwork.name, "the name of the art")
    if artwork.outline.is_empty or not min(artwork.width_mm, artwork.height_mm) > 0:
        raise LayoutError(f"{name} has no ink")
    if len(artwork.source) > MOST_SOURCE_BYTES:
        raise LayoutError(f"{name} is over {MOST_SOURCE_BYTES // 1_000_000} MB")
    if vertex_count(artwork) > MOST_VERTICES:
        raise LayoutError(f"{name} has over {MOST_VERTICES:,} outline points")
    notes = tuple(checked_text(note, "a note", most=MOST_NOTE) for note in artwork.notes[:MOST_NOTES])
    if (name, notes) == (artwork.name, artwork.notes):
        return artwork
    return replace(artwork, name=name, notes=notes)


def checked_art(art: Art) -> Art:
    """The art with a tidy artwork and, where the program made it, tidy words and figures."""
    if art.lettering is not None and art.stock is not None:
        raise LayoutError(f"{art.artwork.name} is lettering and a stock shape at once")
    try:
        lettering = None if art.lettering is None else checked_lettering(art.lettering)
        stock = None if art.stock is None else checked_stock(art.stock)
    except LetteringError as error:
        raise LayoutError(f"{art.artwork.name}: {error}") from error
    _check_ink_map(art)
    tidy = replace(
        art,
        artwork=checked_artwork(art.artwork),
        lettering=lettering,
        stock=stock,
        original=None if art.original is None else _checked_original(art, art.original),
        repairs=_checked_repairs(art),
    )
    return art if tidy == art else tidy


def _check_ink_map(art: Art) -> None:
    if art.ink_map is None:
        return
    if art.lettering is not None or art.stock is not None:
        raise LayoutError(f"{art.artwork.name} was made in one ink; it has no colours to choose from")
    try:
        checked_ink_map(art.ink_map)
    except InkMapError as error:
        raise LayoutError(f"{art.artwork.name}: {error}") from error


def _checked_original(art: Art, original: Artwork) -> Artwork:
    tidy = checked_artwork(original)
    if (original.source_digest, original.suffix) != (art.artwork.source_digest, art.artwork.suffix):
        raise LayoutError(f"{art.artwork.name} was made of another file than it says")
    return tidy


def _checked_repairs(art: Art) -> tuple[Repair, ...]:
    if art.repairs and art.original is None:
        raise LayoutError(f"{art.artwork.name} was repaired, but what it was before is not there")
    try:
        return in_order([checked_repair(repair) for repair in art.repairs])
    except RepairError as error:
        raise LayoutError(f"{art.artwork.name}: {error}") from error


def vertex_count(artwork: Artwork) -> int:
    """How many points the outline has."""
    return int(shapely.get_num_coordinates(artwork.outline))


def checked_piece(piece: Piece, artwork: Artwork) -> Piece:
    """The piece with tidy words and turn, at a size that can be made."""
    width_mm = checked_length(piece.width_mm, "the width of the piece", LEAST_PIECE_MM, MOST_PIECE_MM)
    checked_length(width_mm * artwork.aspect, "the height of the piece", LEAST_PIECE_MM, MOST_PIECE_MM)
    return replace(
        piece,
        name=checked_text(piece.name, "the name of the piece"),
        placement=checked_text(piece.placement, "the placement"),
        garment_size=checked_text(piece.garment_size, "the garment size"),
        width_mm=width_mm,
        copies=checked_count(piece.copies, "the number of copies", 0, MOST_COPIES),
        turn_deg=checked_turn(piece.turn_deg),
    )


def checked_sheet(sheet: Sheet) -> Sheet:
    """The sheet with a tidy name and sizes that leave something between the margins."""
    width_mm = checked_length(sheet.width_mm, "the sheet width", LEAST_SHEET_MM, MOST_SHEET_MM)
    length_mm = checked_length(sheet.length_mm, "the sheet length", LEAST_SHEET_MM, MOST_SHEET_MM)
    margin_mm = checked_length(sheet.margin_mm, "the margin", 0.0, MOST_SHEET_MM)
    if 2 * margin_mm >= min(width_mm, length_mm):
        raise LayoutError(f"a margin of {write_number(margin_mm, 'mm', 3)} mm leaves nothing of the sheet")
    return replace(
        sheet,
        name=checked_text(sheet.name, "the name of the sheet"),
        width_mm=width_mm,
        length_mm=length_mm,
        margin_mm=margin_mm,
        gap_mm=checked_length(sheet.gap_mm, "the gap", 0.0, MOST_GAP_MM),
        run=checked_count(sheet.run, "the run", 1, MOST_RUN),
    )


def checked_order(order: Order) -> Order:
    """The order with tidy words in its lines."""
    return replace(
        order,
        name=checked_text(order.name, "the name of the order"),
        customer=checked_text(order.customer, "the customer", may_be_empty=True),
        lines=tuple(map(checked_line, order.lines)),
    )


def checked_line(line: OrderLine) -> OrderLine:
    """The order line with tidy words and counts of 0 or more."""
    sizes = tuple(
        (
            checked_text(size, "the garment size"),
            checked_count(count, "the number of garments", 0, MOST_COPIES),
        )
        for size, count in line.sizes
    )
    return replace(
        line,
        garment=checked_text(line.garment, "the garment"),
        garment_colour=checked_text(line.garment_colour, "the garment colour", may_be_empty=True),
        sizes=sizes,
        fabric=checked_text(line.fabric, "the fabric", may_be_empty=True),
    )


def checked_total(count: int, what: str, most: int) -> None:
    """Refuse a job of more than `most` arts, pieces, sheets, …"""
    if count > most:
        raise LayoutError(f"a job holds at most {most:,} {what}")
