"""The record of a job as it stands in job.json: strict structures, and the way from and to the values."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import InkMap, Swatch
from layout_core.art.lettering import Lettering
from layout_core.art.repair import Repair
from layout_core.art.stock import StockShape
from layout_core.geometry.pose import Pose
from layout_core.job.lighting import Charge, Ink, Lighting, Promise, Venue
from layout_core.job.limits import PrintLimits
from layout_core.job.migrations import FORMAT, Record
from layout_core.job.model import Approval, Art, Job, Order, OrderLine, Piece, PlacedPiece, Sheet, Waiver
from layout_core.job.printing import PrintOptions

Number = Annotated[float, Meta(ge=-1e6, le=1e6)]
Digest = Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]
Suffix = Literal["svg", "png", "jpg", "pdf"]


class _Strict(msgspec.Struct, forbid_unknown_fields=True):
    """A part of the record; an unknown or missing field or a wrong type is refused with its place."""


class LetteringRecord(_Strict):
    text: str
    font: str
    cap_height_mm: Number
    alignment: Literal["left", "centre", "right"]
    line_spacing: Number
    tracking: Number
    bend_deg: Number
    contour: Literal["none", "inside", "outside"]
    line_mm: Number
    gap_mm: Number
    ease_mm: Number


class StockRecord(_Strict):
    kind: str
    parameters: list[tuple[str, Number | str]]


class RepairRecord(_Strict):
    kind: Literal["specks", "pinholes", "solid", "outline", "thin", "thicken", "open", "close"]
    limit_mm: Number
    at_width_mm: Number
    keep_mm: Number


class SwatchRecord(_Strict):
    colour: str
    area_share: Number
    prints: bool


class InkMapRecord(_Strict):
    swatches: list[SwatchRecord]
    threshold: Number


class OriginalRecord(_Strict):
    """What the art was before anything was done to it, of the same source."""

    name: str
    outline: Digest
    size_known: bool
    route: Literal["vector", "raster"]
    ink_width_px: Annotated[float, Meta(gt=0, le=1e9)] | None
    notes: list[str]


class ArtRecord(_Strict, omit_defaults=True):
    """What stands only in some arts is left out of the others."""

    art_id: int
    name: str
    suffix: Suffix
    source: Digest
    outline: Digest
    size_known: bool
    route: Literal["vector", "raster"]
    ink_width_px: Annotated[float, Meta(gt=0, le=1e9)] | None
    notes: list[str]
    lettering: LetteringRecord | None = None
    stock: StockRecord | None = None
    repairs: list[RepairRecord] = []
    original: OriginalRecord | None = None
    ink_map: InkMapRecord | None = None


class PieceRecord(_Strict, omit_defaults=True):
    piece_id: int
    art_id: int
    name: str
    placement: str
    garment_size: str
    width_mm: Number
    copies: int
    filler: bool
    turn_deg: Number
    order_id: int | None
    may_turn: bool = True


class LineRecord(_Strict, omit_defaults=True):
    line_id: int
    piece_id: int
    garment: str
    garment_colour: str
    sizes: list[tuple[str, int]]
    fabric: str = ""


class OrderRecord(_Strict):
    order_id: int
    name: str
    customer: str
    lines: list[LineRecord]


class PlacedRecord(_Strict):
    placed_id: int
    piece_id: int
    x_mm: Number
    y_mm: Number
    turn_deg: Number
    locked: bool


class SheetRecord(_Strict):
    sheet_id: int
    name: str
    width_mm: Number
    length_mm: Number
    margin_mm: Number
    gap_mm: Number
    run: int
    placed: list[PlacedRecord]


class WaiverRecord(_Strict):
    finding_key: str
    who: str
    reason: str


class ApprovalRecord(_Strict):
    order_id: int | None
    digest: Digest
    who: str
    signed_on: str


class LimitsRecord(_Strict):
    name: str
    line_caution_mm: Number
    line_stop_mm: Number
    gap_mm: Number
    dot_mm: Number
    pinhole_mm: Number
    element_mm2: Number
    piece_gap_mm: Number
    piece_gap_least_mm: Number
    margin_mm: Number
    sheet_width_mm: Number
    sheet_length_least_mm: Number
    sheet_length_most_mm: Number
    resolution_wanted_dpi: Number
    resolution_stop_dpi: Number
    smallest_run: int


class InkRecord(_Strict):
    name: str
    l10_mcd_m2: Number
    tau_min: Number
    exponent: Number
    film_um: Number
    under_reflectance: Number
    basis: Literal["assumed", "readings", "swatch"]


class ChargeRecord(_Strict):
    lamp: str
    illuminance_lx: Number
    minutes: Number


class VenueRecord(_Strict):
    name: str
    background_cd_m2: Number


class PromiseRecord(_Strict):
    distance_m: Number
    minutes: Number
    level: Literal["reads", "shape"]


class LightingRecord(_Strict):
    ink: InkRecord
    charge: ChargeRecord
    venue: VenueRecord
    has_underbase: bool
    at_a_glance: bool
    promise: PromiseRecord | None


class PrintingRecord(_Strict):
    ink_spot: str
    cut_spot: str
    under_spot: str
    has_cut_lines: bool
    has_underbase: bool
    choke_mm: Number
    is_mirrored: bool
    has_marks: bool
    has_slug: bool
    dpi: Number


class JobRecord(_Strict, omit_defaults=True):
    """What stands only in some jobs is left out of the others."""

    format: int
    name: str
    revision: int
    garment_colour: str
    ink_name: str
    next_id: int
    limits: LimitsRecord
    arts: list[ArtRecord]
    pieces: list[PieceRecord]
    orders: list[OrderRecord]
    sheets: list[SheetRecord]
    waivers: list[WaiverRecord]
    lighting: LightingRecord | None = None
    approvals: list[ApprovalRecord] = []
    printing: PrintingRecord | None = None


def record_of(job: Job) -> Record:
    """The plain values that job.json holds, the same for equal jobs; the art stands in it by its digests.

    Raises msgspec.ValidationError for a value that could not be read again.
    """
    return dict(_unsigned_zeros(msgspec.to_builtins(checked_record(_plain(job)))))


def _plain(job: Job) -> Record:
    return {
        "format": FORMAT,
        "name": job.name,
        "revision": job.revision,
        "garment_colour": job.garment_colour,
        "ink_name": job.ink_name,
        "next_id": job.next_id,
        "limits": asdict(job.limits),
        "arts": [_art_record(art) for art in job.arts],
        "pieces": [asdict(piece) for piece in job.pieces],
        "orders": [asdict(order) for order in job.orders],
        "sheets": [_sheet_record(sheet) for sheet in job.sheets],
        "waivers": [asdict(waiver) for waiver in job.waivers],
        "lighting": None if job.lighting is None else asdict(job.lighting),
        "approvals": [asdict(approval) for approval in job.approvals],
        "printing": None if job.printing == PrintOptions() else asdict(job.printing),
    }


def checked_record(record: Record) -> JobRecord:
    """The record as structures. Raises msgspec.ValidationError that names the place of the first mistake."""
    return msgspec.convert(record, JobRecord, strict=True)


def job_of(
    record: JobRecord, artworks: Mapping[int, Artwork], originals: Mapping[int, Artwork] | None = None
) -> Job:
    """The job of a record, with the artwork of each art id, and what it was made of for those that have it.

    Not yet known to be sound.
    """
    originals = originals or {}
    return Job(
        name=record.name,
        limits=PrintLimits(**_fields(record.limits)),
        revision=record.revision,
        arts=tuple(_art(art, artworks[art.art_id], originals.get(art.art_id)) for art in record.arts),
        pieces=tuple(Piece(**_fields(piece)) for piece in record.pieces),
        orders=tuple(map(_order, record.orders)),
        sheets=tuple(map(_sheet, record.sheets)),
        waivers=tuple(Waiver(**_fields(waiver)) for waiver in record.waivers),
        garment_colour=record.garment_colour,
        ink_name=record.ink_name,
        next_id=record.next_id,
        lighting=None if record.lighting is None else _lighting(record.lighting),
        approvals=tuple(Approval(**_fields(approval)) for approval in record.approvals),
        printing=PrintOptions() if record.printing is None else PrintOptions(**_fields(record.printing)),
    )


def _lighting(record: LightingRecord) -> Lighting:
    promise = record.promise
    return Lighting(
        ink=Ink(**_fields(record.ink)),
        charge=Charge(**_fields(record.charge)),
        venue=Venue(**_fields(record.venue)),
        has_underbase=record.has_underbase,
        at_a_glance=record.at_a_glance,
        promise=None if promise is None else Promise(**_fields(promise)),
    )


def _fields(record: msgspec.Struct) -> dict[str, Any]:
    return {name: getattr(record, name) for name in record.__struct_fields__}


def _art_record(art: Art) -> Record:
    artwork = art.artwork
    return {
        "art_id": art.art_id,
        "name": artwork.name,
        "suffix": artwork.suffix,
        "source": artwork.source_digest,
        "outline": artwork.outline_digest,
        "size_known": artwork.size_known,
        "route": artwork.route,
        "ink_width_px": artwork.ink_width_px,
        "notes": list(artwork.notes),
        "lettering": None if art.lettering is None else asdict(art.lettering),
        "stock": None if art.stock is None else asdict(art.stock),
        "repairs": [asdict(repair) for repair in art.repairs],
        "original": None if art.original is None else _original_record(art.original),
        "ink_map": None if art.ink_map is None else asdict(art.ink_map),
    }


def _original_record(original: Artwork) -> Record:
    return {
        "name": original.name,
        "outline": original.outline_digest,
        "size_known": original.size_known,
        "route": original.route,
        "ink_width_px": original.ink_width_px,
        "notes": list(original.notes),
    }


def _art(record: ArtRecord, artwork: Artwork, original: Artwork | None) -> Art:
    lettering, stock = record.lettering, record.stock
    return Art(
        record.art_id,
        artwork,
        lettering=None if lettering is None else Lettering(**_fields(lettering)),
        stock=None if stock is None else StockShape(stock.kind, tuple(stock.parameters)),
        repairs=tuple(Repair(**_fields(repair)) for repair in record.repairs),
        original=original,
        ink_map=None if record.ink_map is None else _ink_map(record.ink_map),
    )


def _ink_map(record: InkMapRecord) -> InkMap:
    return InkMap(tuple(Swatch(**_fields(swatch)) for swatch in record.swatches), record.threshold)


def _sheet_record(sheet: Sheet) -> Record:
    placed = [
        {
            "placed_id": p.placed_id,
            "piece_id": p.piece_id,
            "x_mm": p.pose.x_mm,
            "y_mm": p.pose.y_mm,
            "turn_deg": p.pose.turn_deg,
            "locked": p.locked,
        }
        for p in sheet.placed
    ]
    return {**asdict(sheet), "placed": placed}


def _order(record: OrderRecord) -> Order:
    lines = tuple(
        OrderLine(
            line.line_id, line.piece_id, line.garment, line.garment_colour, tuple(line.sizes), line.fabric
        )
        for line in record.lines
    )
    return Order(record.order_id, record.name, record.customer, lines)


def _sheet(record: SheetRecord) -> Sheet:
    placed = tuple(
        PlacedPiece(p.placed_id, p.piece_id, Pose(p.x_mm, p.y_mm, p.turn_deg), p.locked)
        for p in record.placed
    )
    return Sheet(
        record.sheet_id,
        record.name,
        record.width_mm,
        record.length_mm,
        record.margin_mm,
        record.gap_mm,
        record.run,
        placed,
    )


def _unsigned_zeros(value: Any) -> Any:
    """The same values with 0.0 for -0.0: they are equal, so they must be written alike."""
    if isinstance(value, dict):
        return {key: _unsigned_zeros(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_unsigned_zeros(item) for item in value]
    return value + 0.0 if isinstance(value, float) else value
