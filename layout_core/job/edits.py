"""Every edit of a job: pure functions Job -> Job that raise LayoutError and leave the old job untouched.

New ids are counted up from the old job's `next_id` and never used again. Undo is keeping the old job.
"""

from layout_core.job.approvals import sign_off, withdraw_approval
from layout_core.job.edits_art import (
    add_art,
    add_piece,
    change_piece,
    remove_art,
    remove_piece,
    replace_artwork,
    size_piece_for,
    take_art,
)
from layout_core.job.edits_ink import change_ink_map
from layout_core.job.edits_job import (
    new_job,
    rename_job,
    set_garment_colour,
    set_ink_name,
    set_lighting,
    set_limits,
    set_printing,
    set_revision,
    unwaive,
    waive,
)
from layout_core.job.edits_lines import add_order_rows
from layout_core.job.edits_made import (
    add_lettering,
    add_name_list,
    add_stock,
    add_swatch_card,
    change_lettering,
    change_stock,
)
from layout_core.job.edits_order import add_order, change_order, remove_order, set_order_lines
from layout_core.job.edits_placed import (
    delete_placed,
    duplicate_placed,
    lay_out,
    lock_placed,
    move_placed,
    move_to_sheet,
    place_piece,
    set_poses,
    turn_placed,
)
from layout_core.job.edits_repair import repair_art, undo_repairs
from layout_core.job.edits_sheet import add_sheet, change_sheet, remove_sheet

__all__ = [
    "add_art", "add_lettering", "add_name_list", "add_order", "add_order_rows", "add_piece", "add_sheet",
    "add_stock", "add_swatch_card", "change_ink_map", "change_lettering", "change_order", "change_piece",
    "change_sheet", "change_stock",
    "delete_placed", "duplicate_placed", "lay_out", "lock_placed", "move_placed", "move_to_sheet", "new_job",
    "place_piece", "remove_art", "remove_order", "remove_piece", "remove_sheet", "rename_job", "repair_art",
    "replace_artwork", "set_garment_colour", "set_ink_name", "set_lighting", "set_limits", "set_order_lines",
    "set_poses", "set_printing", "set_revision", "sign_off", "size_piece_for", "take_art", "turn_placed",
    "undo_repairs", "unwaive", "waive", "withdraw_approval",
]  # fmt: skip
