"""What the shop is making, as frozen values. Ids are handed out by the job and never reused."""

from dataclasses import dataclass, field
from typing import TypeVar

from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import InkMap
from layout_core.art.lettering import Lettering
from layout_core.art.repair import Repair
from layout_core.art.stock import StockShape
from layout_core.geometry.pose import Pose
from layout_core.job.lighting import Lighting
from layout_core.job.limits import PrintLimits
from layout_core.job.printing import PrintOptions

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Art:
    """An artwork taken into the job; `lettering` or `stock` says how it was made, for changing it again.

    `artwork` is what is printed. `original` is the artwork as it came, kept when something was done to it,
    and `repairs` are the repairs that were done. `ink_map` says which colours print where a person chose so;
    None where the art is as it was read. The artwork, or the original of a repaired one, was read under it.
    """

    art_id: int
    artwork: Artwork
    lettering: Lettering | None = None
    stock: StockShape | None = None
    repairs: tuple[Repair, ...] = ()
    original: Artwork | None = None
    ink_map: InkMap | None = None


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Garments that get one piece: counts by garment size, e.g. (("M", 12), ("L", 8)).

    `fabric` is a word of the table of press recipes; empty when nobody has said.
    """

    line_id: int
    piece_id: int
    garment: str
    garment_colour: str
    sizes: tuple[tuple[str, int], ...]
    fabric: str = ""

    @property
    def count(self) -> int:
        return sum(count for _, count in self.sizes)


@dataclass(frozen=True, slots=True)
class Order:
    """What one customer wants."""

    order_id: int
    name: str
    customer: str
    lines: tuple[OrderLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """Art at a size for one placement.

    `copies` counts how often it must lie on the job's sheets; a filler is wanted nowhere in
    particular and fills leftover film. `order_id` None means it belongs to the shop.
    `turn_deg` is the turn a new copy is laid with; packing keeps to it if the piece may not turn.
    """

    piece_id: int
    art_id: int
    name: str
    placement: str
    garment_size: str
    width_mm: float
    copies: int = 1
    filler: bool = False
    turn_deg: float = 0.0
    order_id: int | None = None
    may_turn: bool = True


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """One copy of a piece lying on a sheet; autopack leaves a locked one where it is."""

    placed_id: int
    piece_id: int
    pose: Pose
    locked: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """One gang sheet design: printable size, margin, gap, how many are run, and what lies on it."""

    sheet_id: int
    name: str
    width_mm: float
    length_mm: float
    margin_mm: float
    gap_mm: float
    run: int = 1
    placed: tuple[PlacedPiece, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that a person accepts, by its key, with who and why; printed on the proof."""

    finding_key: str
    who: str
    reason: str


@dataclass(frozen=True, slots=True)
class Approval:
    """A signed proof: of an order, or of the whole job with None; `digest` is what it showed.

    `signed_on` is the date as the person wrote it. See job.approvals for what the digest covers.
    """

    order_id: int | None
    digest: str
    who: str
    signed_on: str


@dataclass(frozen=True, slots=True)
class Job:
    """Everything that is saved. Whatever can be computed from it is not stored in it.

    `lighting` None: nothing is promised, and figures of visibility are for the usual lighting.
    """

    name: str
    limits: PrintLimits
    revision: int = 1
    arts: tuple[Art, ...] = ()
    pieces: tuple[Piece, ...] = ()
    orders: tuple[Order, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    garment_colour: str = "black"
    ink_name: str = "Glow"
    lighting: Lighting | None = None
    approvals: tuple[Approval, ...] = ()
    printing: PrintOptions = field(default_factory=PrintOptions)
    next_id: int = field(default=1)

    def art(self, art_id: int) -> Art:
        return _found(next((a for a in self.arts if a.art_id == art_id), None), "art", art_id)

    def piece(self, piece_id: int) -> Piece:
        return _found(next((p for p in self.pieces if p.piece_id == piece_id), None), "piece", piece_id)

    def sheet(self, sheet_id: int) -> Sheet:
        return _found(next((s for s in self.sheets if s.sheet_id == sheet_id), None), "sheet", sheet_id)

    def order(self, order_id: int) -> Order:
        return _found(next((o for o in self.orders if o.order_id == order_id), None), "order", order_id)

    def artwork_of(self, piece: Piece) -> Artwork:
        return self.art(piece.art_id).artwork

    def size_of(self, piece: Piece) -> tuple[float, float]:
        """Width and height in mm of the unturned piece."""
        return piece.width_mm, piece.width_mm * self.artwork_of(piece).aspect

    def sheet_of(self, placed_id: int) -> Sheet:
        for sheet in self.sheets:
            if any(placed.placed_id == placed_id for placed in sheet.placed):
                return sheet
        raise KeyError(f"no placed piece {placed_id}")

    def placed(self, placed_id: int) -> PlacedPiece:
        return next(p for p in self.sheet_of(placed_id).placed if p.placed_id == placed_id)

    def copies_placed(self, piece_id: int) -> int:
        return sum(placed.piece_id == piece_id for sheet in self.sheets for placed in sheet.placed)


def _found(value: T | None, kind: str, key: int) -> T:
    if value is None:
        raise KeyError(f"no {kind} {key}")
    return value
