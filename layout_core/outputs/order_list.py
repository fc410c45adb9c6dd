"""The order list: sheets to order from the transfer maker, and garments to take from the shelf."""

import csv
import io
import json
from typing import Any

from layout_core.job.approvals import printable_digest
from layout_core.job.model import Job
from layout_core.outputs.garment_counts import picked_garments, pressings
from layout_core.units import inches

_COLUMNS = ("list", "order", "item", "colour", "fabric", "size", "count", "remark")
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def order_document(job: Job) -> dict[str, Any]:
    """The order list as plain values; lengths in mm and in inches, by the name of their key."""
    return {
        "job": job.name,
        "revision": job.revision,
        "printable_sha256": printable_digest(job),
        "ink": job.ink_name,
        "sheets": [
            {
                "sheet": sheet.name,
                "count": sheet.run,
                "width_mm": round(sheet.width_mm, 4),
                "length_mm": round(sheet.length_mm, 4),
                "width_in": round(inches(sheet.width_mm), 4),
                "length_in": round(inches(sheet.length_mm), 4),
                "pieces_on_each": len(sheet.placed),
            }
            for sheet in job.sheets
            if sheet.placed
        ],
        "garments": [
            {
                "order": one.order,
                "garment": one.garment,
                "colour": one.colour,
                "fabric": one.fabric,
                "size": one.size,
                "count": one.count,
            }
            for one in picked_garments(job)
        ],
        "prints": [
            {
                "piece": one.piece.name,
                "placement": one.piece.placement,
                "wanted": one.wanted,
                "printed": one.printed,
                "spare": one.spare,
            }
            for one in pressings(job)
        ],
    }


def order_json(job: Job) -> bytes:
    """The order list as UTF-8 JSON; the same job gives the same bytes."""
    return json.dumps(order_document(job), indent=1, ensure_ascii=False).encode("utf-8") + b"\n"


def order_csv(job: Job) -> bytes:
    """The order list as UTF-8 CSV with its mark, one table: rows of sheets, then garments, then prints.

    Words that a spreadsheet would take for a formula stand behind an apostrophe.
    """
    document = order_document(job)
    rows: list[tuple[object, ...]] = []
    for sheet in document["sheets"]:
        size = f"{sheet['width_in']:g} x {sheet['length_in']:g} in"
        remark = f"{sheet['pieces_on_each']} pieces on each"
        rows.append(("sheets", "", sheet["sheet"], job.ink_name, "film", size, sheet["count"], remark))
    kind = ("order", "garment", "colour", "fabric", "size", "count")
    rows += [("garments", *(one[key] for key in kind), "") for one in document["garments"]]
    for one in document["prints"]:
        rest = f"{one['spare']} spare" if one["spare"] >= 0 else f"{-one['spare']} short"
        remark = f"{one['printed']} printed, {rest}"
        rows.append(("prints", "", one["piece"], "", "", one["placement"], one["wanted"], remark))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_COLUMNS)
    writer.writerows([_safe(value) for value in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def _safe(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA_SIGNS) else value
