"""How much real art comes in right: `python -m tests.bench.intake DIR… [--limit N] [--seed S]`.

Every SVG, PNG and JPEG under the folders (or a seeded sample of N) goes through the worker process. An SVG is
correct when its shapes and resvg's rendering of the file as it came differ on no 3 x 3 block of samples. All
that is painted is taken for ink here: what a person sees knocked out is no matter of reading right. A
refusal as blank is correct when resvg draws nothing either. Where words were left out because their font is
not on the computer, the file is compared without any words, and counted under `fonts_missing` as well.
`read_cpu` is the seconds until the shapes stand, before they are compared; `cpu` the whole. Prints one JSON
document.
"""

import argparse
import json
import random
import statistics
import time
from pathlib import Path
from typing import Any

import shapely
from lxml import etree
from shapely.geometry.base import BaseGeometry

from layout_core.art.font_words import missing_fonts
from layout_core.art.fonts import font_shelf
from layout_core.art.ink_words import NOTHING
from layout_core.art.refusal import Refused
from layout_core.art.render import Reference, coverage
from layout_core.art.safe_xml import SVG_NS
from layout_core.art.sandbox import SHARED, WorkerDied, WorkerTooSlow
from layout_core.art.sniff import unpacked
from layout_core.art.svg_route import COMPARING
from layout_core.art.verify import as_reference, core
from layout_core.art.viewport import MM_PER_PX, Box, page_of
from layout_core.progress import no_progress

_SUFFIXES = frozenset({".svg", ".svgz", ".pdf", ".png", ".jpg", ".jpeg"})
_CHECK_PX = 2000.0
_WORST = 12


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--limit", type=int, default=0, help="sample this many files")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=60.0, help="time allowed for one file")
    parser.add_argument("--minutes", type=float, default=0.0, help="stop there and report what was done")
    options = parser.parse_args()
    files = sorted(
        path
        for folder in options.folders
        for path in folder.rglob("*")
        if path.suffix.lower() in _SUFFIXES and path.is_file() and not path.is_symlink()
    )
    if options.limit and options.limit < len(files):
        files = random.Random(options.seed).sample(files, options.limit)
    ends_s = time.monotonic() + 60.0 * options.minutes
    rows: list[dict[str, Any]] = []
    for path in files:
        if options.minutes and time.monotonic() > ends_s:
            break
        rows.append(_row(path, options.seconds))
    SHARED.close()
    print(json.dumps(_summary(rows), indent=1))


def _summary(rows: list[dict[str, Any]]) -> dict[str, Any]:
    wrong = sorted((row for row in rows if not row["correct"]), key=lambda row: -row["core"])
    return {
        "bench": "intake",
        "files": len(rows),
        "vector": sum(row["route"] == "vector" for row in rows),
        "raster": sum(row["route"] == "raster" for row in rows),
        "blank": sum(row["blank"] for row in rows),
        "correct": sum(row["correct"] for row in rows),
        "correct_share": _share(sum(row["correct"] for row in rows), len(rows)),
        "vector_share": _share(
            sum(row["route"] == "vector" for row in rows), sum(row["route"] is not None for row in rows)
        ),
        "errors": sum(bool(row["error"]) and not row["blank"] for row in rows),
        "crashed": sum(row["crashed"] for row in rows),
        "fonts_missing": sum(row["fonts_missing"] for row in rows),
        "read_cpu": _spread([row["read_cpu_s"] for row in rows if row["read_cpu_s"] is not None]),
        "cpu": _spread([row["cpu_s"] for row in rows if row["cpu_s"] is not None]),
        "worst": [
            {"file": row["file"], "route": row["route"], "core": row["core"], "error": row["error"]}
            for row in wrong[:_WORST]
        ],
        "slowest": [
            [row["file"], round(row["cpu_s"], 2), row["route"]]
            for row in sorted((r for r in rows if r["cpu_s"]), key=lambda row: -row["cpu_s"])[:5]
        ],
        "traced_because": _reasons(rows),
    }


def _share(part: int, whole: int) -> float | None:
    return round(part / whole, 4) if whole else None


def _spread(seconds: list[float]) -> dict[str, float] | None:
    if not seconds:
        return None
    ordered = sorted(seconds)
    return {
        "median_s": round(statistics.median(ordered), 3),
        "p95_s": round(ordered[int(0.95 * (len(ordered) - 1))], 3),
    }


def _reasons(rows: list[dict[str, Any]]) -> dict[str, int]:
    reasons: dict[str, int] = {}
    for row in rows:
        if row["reason"]:
            reasons[row["reason"]] = reasons.get(row["reason"], 0) + 1
    return dict(sorted(reasons.items(), key=lambda item: -item[1]))


def _row(path: Path, seconds: float) -> dict[str, Any]:
    name = "/".join(path.parts[-2:])
    row: dict[str, Any] = {"file": name, "route": None, "core": 0, "error": "", "crashed": False,
                           "correct": False, "blank": False, "cpu_s": None, "read_cpu_s": None,
                           "reason": "", "fonts_missing": False}  # fmt: skip
    data = path.read_bytes()
    try:
        header, blobs = SHARED.ask(data, no_progress, seconds, {"ink": "everything"})
    except (WorkerDied, WorkerTooSlow) as failure:
        return row | {"crashed": True, "error": type(failure).__name__}
    if header["kind"] != "done":
        lacks = "not on this computer" in header["reason"]
        is_blank = (lacks or NOTHING in header["reason"]) and _draws_nothing(data, with_words=not lacks)
        return row | {"error": header["reason"], "blank": is_blank, "correct": is_blank,
                      "fonts_missing": lacks}  # fmt: skip
    row |= {"route": header["route"], "cpu_s": header["cpu_s"]}
    row["read_cpu_s"] = header["stages"].get(COMPARING)
    row["fonts_missing"] = bool(missing_fonts(header["notes"]))
    row["reason"] = next((n.split(";")[0] for n in header["notes"] if "traced" in n), "")
    if header["suffix"] != "svg":
        return row | {"correct": True}
    outline = shapely.from_wkb(blobs[0])
    try:
        row["core"] = _difference(data, outline, with_words=not row["fonts_missing"])
    except (Refused, etree.XMLSyntaxError) as error:
        return row | {"error": f"no reference: {error}"}
    return row | {"correct": row["core"] == 0 and outline.is_valid}


def _difference(data: bytes, outline: BaseGeometry, *, with_words: bool) -> int:
    shapes = shapely.transform(outline, lambda xy: xy / MM_PER_PX)
    reference, box = _original(data, shapes.bounds[2:], with_words=with_words)
    scale = _CHECK_PX / max(box[2], box[3])
    return core(coverage(reference, box, scale), coverage(as_reference(shapes, reference), box, scale))


def _draws_nothing(data: bytes, *, with_words: bool) -> bool:
    try:
        reference, box = _original(data, (1000.0, 1000.0), with_words=with_words)
        return not (coverage(reference, box, 1000.0 / max(box[2], box[3])) >= 128).any()
    except (Refused, etree.XMLSyntaxError):
        return True


def _original(data: bytes, extent: tuple[float, ...], *, with_words: bool) -> tuple[Reference, Box]:
    """The file as it came, less its DOCTYPE and with its page in px, which the whole-pixel canvas needs."""
    root = etree.fromstring(unpacked(data), etree.XMLParser(no_network=True, load_dtd=False))
    page = page_of(
        root.get("width"), root.get("height"), root.get("viewBox"), root.get("preserveAspectRatio")
    )
    width, height = (page.width_px, page.height_px) if page.has_extent else extent
    root.set("width", repr(float(width)))
    root.set("height", repr(float(height)))
    root.set("overflow", "visible")
    if not root.tag.startswith("{"):
        root.set("xmlns", SVG_NS)
    if not with_words:
        etree.strip_elements(root, f"{{{SVG_NS}}}text", "text", with_tail=False)
    text = etree.tostring(root, encoding="unicode", with_tail=False)
    fonts = tuple(str(face.path) for face in font_shelf().faces) if "<text" in text else None
    return Reference(text, float(width), float(height), fonts), (0.0, 0.0, float(width), float(height))


if __name__ == "__main__":
    main()
