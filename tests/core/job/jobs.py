"""Hypothesis strategies for jobs: made by edits, so every job is one that the program could hold."""

from collections.abc import Callable

import shapely
from hypothesis import strategies as st

from layout_core.art.artwork import Artwork
from layout_core.errors import LayoutError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.lighting import Charge, Ink, Lighting, Promise, Venue
from layout_core.job.limits import PrintLimits
from layout_core.job.model import Job, OrderLine
from tests.make import GLOW, make_artwork

MOTH = make_artwork(shapely.Point(0, 0).buffer(20, quad_segs=4), "moth")
RING = make_artwork(
    shapely.union_all([shapely.box(0, 0, 30, 40) - shapely.box(5, 5, 20, 20), shapely.box(40, 0, 50, 10)]),
    "lantern ring",
)
ARTWORKS = (MOTH, RING)

Edit = Callable[[Job], Job]

coordinates = st.floats(-500, 500, allow_nan=False)
poses = st.builds(Pose, coordinates, coordinates, st.one_of(st.sampled_from([0.0, 90.0, 270.0]), coordinates))
texts = st.text(max_size=30)
widths = st.floats(1, 400)
counts = st.integers(0, 40)


def _ids(job: Job) -> st.SearchStrategy[int]:
    """Ids that are there, and some that are not."""
    return st.integers(1, job.next_id)


def _placed_ids(job: Job) -> st.SearchStrategy[list[int]]:
    there = [placed.placed_id for sheet in job.sheets for placed in sheet.placed]
    return st.lists(st.sampled_from(there), min_size=1, unique=True) if there else st.just([1])


def _lighting(width: float, minutes: float) -> Lighting:
    """A lighting of the drawn figures; a negative time is an impossible promise."""
    promise = Promise(width / 4.0, minutes)
    return Lighting(Ink("Glow", width, 1.2, 1.1, 50.0, 0.04, "swatch"), Charge("window", width, 5.0),
                    Venue("yard", 0.03), promise=promise)  # fmt: skip


@st.composite
def edit_of(draw: st.DrawFn, job: Job) -> tuple[str, Edit]:
    """The name of an edit and the edit with its values; some are impossible on purpose."""
    key, many = draw(_ids(job)), draw(_placed_ids(job))
    dx, dy, pose, text = draw(coordinates), draw(coordinates), draw(poses), draw(texts)
    width, count, flag = draw(widths), draw(counts), draw(st.booleans())
    artwork: Artwork = draw(st.sampled_from(ARTWORKS))
    piece = draw(st.sampled_from([p.piece_id for p in job.pieces] or [key]))
    sheet = draw(st.sampled_from([s.sheet_id for s in job.sheets]))
    art = draw(st.sampled_from([a.art_id for a in job.arts] or [key]))
    order = draw(st.sampled_from([o.order_id for o in job.orders] or [key]))
    line = OrderLine(0, piece, "tee", text or "black", (("M", count), ("L", 2)))
    choices: dict[str, Edit] = {
        "add_art": lambda j: edits.add_art(j, artwork),
        "replace_artwork": lambda j: edits.replace_artwork(j, art, artwork),
        "remove_art": lambda j: edits.remove_art(j, art),
        "add_piece": lambda j: edits.add_piece(j, art, width_mm=width, copies=count, filler=flag),
        "add_piece for an order": lambda j: edits.add_piece(j, art, order_id=order, name=text or "a"),
        "change_piece": lambda j: edits.change_piece(j, piece, name=text, width_mm=width, turn_deg=dx),
        "change_piece order": lambda j: edits.change_piece(j, piece, order_id=order),
        "size_piece_for": lambda j: edits.size_piece_for(j, piece, "left chest", "youth"),
        "remove_piece": lambda j: edits.remove_piece(j, piece),
        "add_sheet": lambda j: edits.add_sheet(j),
        "change_sheet": lambda j: edits.change_sheet(j, sheet, length_mm=width, margin_mm=abs(dx) / 20),
        "remove_sheet": lambda j: edits.remove_sheet(j, sheet),
        "place_piece": lambda j: edits.place_piece(j, sheet, piece, pose),
        "lay_out": lambda j: edits.lay_out(j, sheet, [(piece, pose), (piece, Pose(1.0, 2.0))]),
        "move_placed": lambda j: edits.move_placed(j, many, dx, dy),
        "set_poses": lambda j: edits.set_poses(j, dict.fromkeys(many, pose)),
        "move_to_sheet": lambda j: edits.move_to_sheet(j, many, sheet, dx, dy),
        "turn_placed": lambda j: edits.turn_placed(j, many, dx),
        "duplicate_placed": lambda j: edits.duplicate_placed(j, many, dx, dy),
        "delete_placed": lambda j: edits.delete_placed(j, many),
        "lock_placed": lambda j: edits.lock_placed(j, many, flag),
        "add_order": lambda j: edits.add_order(j, text or "walk", text),
        "change_order": lambda j: edits.change_order(j, order, name=text),
        "remove_order": lambda j: edits.remove_order(j, order),
        "set_order_lines": lambda j: edits.set_order_lines(j, order, [line]),
        "waive": lambda j: edits.waive(j, f"gap:piece{piece}::0.40", text, text),
        "unwaive": lambda j: edits.unwaive(j, f"gap:piece{piece}::0.40"),
        "rename_job": lambda j: edits.rename_job(j, text),
        "set_garment_colour": lambda j: edits.set_garment_colour(j, text),
        "set_revision": lambda j: edits.set_revision(j, count),
        "set_lighting": lambda j: edits.set_lighting(j, _lighting(width, dx) if flag else None),
    }
    name = draw(st.sampled_from(sorted(choices)))
    return name, choices[name]


def rich_job(limits: PrintLimits = GLOW) -> Job:
    """A job with two arts, three pieces, two orders, two sheets and a waiver."""
    job = edits.new_job("Moth night", limits)
    job = edits.add_art(job, MOTH)  # 2
    job = edits.add_art(job, RING)  # 3
    job = edits.add_order(job, "moth survey night", "Moth group")  # 4
    job = edits.add_order(job, "tide-pool lantern walk", "Walkers")  # 5
    job = edits.add_piece(job, 2, order_id=4, width_mm=60.0, copies=3)  # 6
    job = edits.add_piece(job, 3, order_id=5, placement="sleeve", width_mm=30.0, copies=2)  # 7
    job = edits.add_piece(job, 3, name="spare ring", width_mm=20.0, filler=True)  # 8
    job = edits.set_order_lines(job, 4, [OrderLine(0, 6, "tee", "black", (("M", 2), ("L", 1)))])  # 9
    job = edits.add_sheet(job, name="Sheet B")  # 10
    job = edits.lay_out(job, 1, [(6, Pose(40.0, 50.0)), (7, Pose(120.5, 60.25, 90.0))])  # 11, 12
    job = edits.place_piece(job, 10, 8, Pose(30.0, 30.0, 45.0))  # 13
    job = edits.lock_placed(job, [12], True)
    return edits.waive(job, "gap:piece6::0.40", "Ada at the press", "tested on cloth")


@st.composite
def edited_jobs(draw: st.DrawFn, most_edits: int = 12) -> Job:
    """A job after some edits of every kind; refused ones are passed over."""
    job = rich_job() if draw(st.booleans()) else edits.new_job("Start", GLOW)
    for _ in range(draw(st.integers(0, most_edits))):
        _, edit = draw(edit_of(job))
        try:
            job = edit(job)
        except LayoutError:
            continue
    return job
