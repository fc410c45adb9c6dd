"""Small jobs with orders, for tests of plans and prices."""

import shapely

from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.job.order_lines import order_rows
from layout_core.units import mm
from tests.make import GLOW, make_artwork

MOTHS = (
    "design\tplacement\tgarment\tcolour\tYM\tM\tL\n"
    "moth\tfull front\ttee\tblack\t4\t8\t8\nmoon\tleft chest\ttee\tblack\t\t8\t8\n"
)
WALK = "design,placement,garment,colour,M,2XL\nshell,sleeve,hoodie,navy,10,2\n"


def two_orders(length_in: float = 19.0) -> Job:
    """Moth night (moth on youth and adult fronts, moon on the chest) and tide walk (shell), nothing laid."""
    job = edits.change_sheet(edits.new_job("Two orders", GLOW), 1, length_mm=mm(length_in))
    for name, shape in (
        ("moth.svg", shapely.box(0, 0, 100, 90)),
        ("moon.svg", shapely.box(0, 0, 40, 40)),
        ("shell.svg", shapely.box(0, 0, 40, 30)),
    ):
        job = edits.add_art(job, make_artwork(shape, name))
    for name, customer, lines in (("Moth night", "Lamp Keepers", MOTHS), ("Tide walk", "Ramblers", WALK)):
        order_id = job.next_id
        job = edits.add_order_rows(edits.add_order(job, name, customer), order_id, order_rows(lines))
    return job
