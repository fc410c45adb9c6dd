"""What mutation starts from: small files of our own of every kind the program reads."""

import base64
import io
from collections.abc import Mapping
from pathlib import Path

import shapely
from PIL import Image

from layout_core.geometry.pose import Pose
from layout_core.job.file import job_bytes
from layout_core.shipped import shipped
from tests.core.art.pdf_files import pdf
from tests.core.job.jobs import rich_job
from tests.hostile.pictures import chunk, png
from tests.make import make_artwork, make_job

KINDS = ("bytes", "structure", "job", "toml", "csv")
Seed = tuple[str, bytes]
"""A file name, which says what the file is read as, and its bytes."""

LARGEST_SEED = 4_096
"""Files of a folder beyond this are left out: in small files a mutation is likely to hit something. Ours."""
TABLES = ("print_limits", "placements", "press_recipes", "prices", "venues", "inks")

_HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' width="100" height="80" viewBox="0 0 100 80">'
)
_PIXEL = base64.b64encode(png(1, 1, 8, b"\0\x40")).decode()

_BODIES: Mapping[str, str] = {
    "moth": '<path d="M50 10C20 0 5 30 48 40S30 75 50 70Q70 75 52 40T50 10z"/><circle cx="50" cy="8" r="4"/>',
    "arcs": '<path d="M10 40A20 10 30 0 1 50 40a9 9 0 1 0 18 0z" stroke="#000" stroke-width="2"/>',
    "dashes": '<path d="M5 5H90V70" fill="none" stroke="red" stroke-width="3" stroke-dasharray="9 3 1"'
    ' stroke-dashoffset="2" stroke-linecap="round"/>',
    "joins": '<polyline points="5,70 30,5 55,70 80,6" fill="none" stroke="#123" stroke-width="6"'
    ' stroke-linejoin="miter" stroke-miterlimit="9"/>',
    "turns": '<g transform="translate(50 40) rotate(30) scale(2 .5) skewX(10)"><rect x="-9" y="-9" width="18"'
    ' height="18" rx="3"/></g><g transform="matrix(1 0 .2 1 9 9)"><ellipse rx="8" ry="4"/></g>',
    "hole": '<path fill-rule="evenodd" d="M0 0H60V60H0zM9 9H50V50H9z"/><polygon points="70 5 95 5 80 40"/>',
    "use": '<defs><g id="a"><rect width="9" height="9"/></g><symbol id="s" viewBox="0 0 9 9"><circle r="4"'
    ' cx="4" cy="4"/></symbol></defs><use href="#a" x="20"/><use xlink:href="#s" width="30" height="30"/>',
    "shade": '<linearGradient id="g" x2="1"><stop stop-color="#fff"/><stop offset=".6" stop-opacity=".5"/>'
    '</linearGradient><radialGradient id="r" href="#g" fx=".2"/><rect width="50" height="40" fill="url(#g)"/>'
    '<circle cx="70" cy="40" r="20" fill="url(#r)"/>',
    "clip": '<clipPath id="c"><circle cx="30" cy="30" r="20"/></clipPath><mask id="m"><rect width="60"'
    ' height="60" fill="#fff"/></mask>'
    '<g clip-path="url(#c)"><rect width="60" height="40" mask="url(#m)"/></g>',
    "tiles": '<pattern id="p" width="9" height="9" patternUnits="userSpaceOnUse">'
    '<circle r="3" cx="4" cy="4"/></pattern><rect width="80" height="60" fill="url(#p)"/>',
    "blur": '<filter id="f" x="-.2" width="1.4"><feGaussianBlur stdDeviation="2"/><feOffset dx="3" dy="2"/>'
    '<feColorMatrix values="0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 1 0"/></filter>'
    '<rect x="9" y="9" width="40" height="30" filter="url(#f)"/>',
    "grow": '<filter id="f"><feFlood flood-opacity=".7"/><feComposite operator="in"'
    ' in2="SourceGraphic"/><feMorphology radius="1"/></filter>'
    '<rect width="50" height="40" filter="url(#f)"/>',
    "marker": '<marker id="k" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><path'
    ' d="M0 0L6 3L0 6z"/></marker><path d="M10 10L50 30L90 10" fill="none" stroke="#000" stroke-width="2"'
    ' marker-start="url(#k)" marker-mid="url(#k)" marker-end="url(#k)"/>',
    "words": '<text x="5" y="40" font-size="20" font-family="Manrope, serif" textLength="80">Low'
    ' <tspan dy="9" font-weight="700">tide</tspan></text><path id="t" d="M5 70Q50 50 90 70"/>'
    '<text><textPath href="#t" startOffset="5%">lantern walk</textPath></text>',
    "sheet": "<style>.a{fill:#00f;stroke:#000}g>rect:first-child{stroke-width:2px!important}#b{display:none}"
    '@media print{rect{fill:red}}</style><g class="a"><rect class="a" width="30" height="30"/><rect id="b"'
    ' width="9" height="9" style="fill:none;opacity:.5"/></g>',
    "picture": f'<image x="5" y="5" width="40" height="30" href="data:image/png;base64,{_PIXEL}"/>',
    "inner": '<svg x="9" y="9" width="50%" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMinYMax'
    ' slice"><rect width="10" height="5"/></svg>'
    '<switch><rect systemLanguage="xx"/><circle r="9" cx="80" cy="9"/>'
    "</switch>",
    "entity": "<text>&#65;&amp;</text><![CDATA[ ]]><rect width='5mm' height='1cm'/><a href='#x'><line x2='9'"
    " stroke='black'/></a><!-- remark --><?keep this?>",
}


def seeds_of(kind: str, folder: Path | None = None) -> tuple[Seed, ...]:
    """The seeds of the kind, and the files below the folder, if any, that are of its sort and small."""
    own = {"bytes": _art, "structure": _drawings, "job": _jobs, "toml": _tables, "csv": _lists}[kind]()
    if folder is None:
        return own
    return (*own, *_found(folder, {name.rpartition(".")[2] for name, _ in own}))


def _found(folder: Path, suffixes: set[str]) -> tuple[Seed, ...]:
    wanted = [path for path in sorted(folder.rglob("*")) if path.suffix[1:].lower() in suffixes]
    small = [path for path in wanted if path.is_file() and 0 < path.stat().st_size <= LARGEST_SEED]
    return tuple((path.name, path.read_bytes()) for path in small)


def _drawings() -> tuple[Seed, ...]:
    own = tuple((f"{name}.svg", f"{_HEAD}{body}</svg>".encode()) for name, body in _BODIES.items())
    return (*own, *_found(shipped("resources", "icons"), {"svg"})[::6])


def _art() -> tuple[Seed, ...]:
    lines = (bytes(255 * ((x - 8) ** 2 + (y - 8) ** 2 < 40) for x in range(16)) for y in range(16))
    rows = b"".join(b"\0" + line for line in lines)
    jpeg = io.BytesIO()
    picture = Image.new("L", (24, 16), 200)
    picture.paste(20, (4, 4, 16, 12))
    picture.save(jpeg, "JPEG", dpi=(72, 72))
    dpi = chunk(b"pHYs", bytes.fromhex("00000b1300000b1301"))
    form = {"F": ("/BBox [0 0 50 50] /Matrix [1 0 0 1 9 9]", "0 0 20 20 re f")}
    page = "2 w [4 2] 0 d 10 10 m 90 20 l 50 90 10 90 10 50 c b* /F Do q 0 0 9 9 re W n Q"
    return (
        *_drawings(),
        ("disc.png", png(16, 16, 8, rows, extra=dpi)),
        ("bits.png", png(9, 3, 1, b"\0\xff\x80\0\x0f\0\0\xf0\x80", extra=chunk(b"tRNS", b"\0\1"))),
        ("plain.jpg", jpeg.getvalue()),
        ("line.pdf", pdf(page, forms=form)),
    )


def _jobs() -> tuple[Seed, ...]:
    block = make_artwork(shapely.box(0, 0, 30, 20))
    return (
        ("small.duskjob", job_bytes(make_job([block], poses=[(0, Pose(60, 60))]))),
        ("rich.duskjob", job_bytes(rich_job())),
    )


def _tables() -> tuple[Seed, ...]:
    return tuple((f"{name}.toml", shipped("resources", f"{name}.toml").read_bytes()) for name in TABLES)


def _lists() -> tuple[Seed, ...]:
    names = 'name,number,copies\nKestrel,7,2\n"Tide, low",12,1\nMoth,,3\n'
    orders = "design\tplacement\tgarment\tcolour\tS\tM\t2XL\tYM\nMoth\tfull front\ttee\tblack\t3\t4\t\t1\n"
    return (
        ("names.csv", names.encode()),
        ("names.csv", "name;number\r\nÖrn;1\r\n".encode("utf-16")),
        ("names.csv", "Ann\nBö\n".encode("cp1252")),
        ("orders.csv", orders.encode()),
        ("orders.csv", orders.replace("\t", ";").encode("utf-8-sig")),
        ("readings.csv", b"10 min 25\n30 8.1\n60: 3.5\n"),
        ("promise.csv", b"reads at 8 m after 30 min in a dim hall"),
        ("settings.json", b'{"unit": "mm", "theme": "dark", "splitters": {"a": "b"}, "recent_jobs": ["x"]}'),
    )
