"""The layout proof: what it says, that it repeats, that no word is cut, that an order's shows no other's."""

import io
import re
from dataclasses import replace

import pytest
import shapely
from lxml import etree
from PIL import Image

from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.pose import Pose
from layout_core.job.approvals import printable_digest
from layout_core.job.model import Job, Order, Sheet
from layout_core.outputs.drawing import Drawing, every_words
from layout_core.outputs.drawing_svg import to_svg
from layout_core.outputs.proof import layout_proof, proof_png
from layout_core.outputs.proof_notes import CAUTIONS
from layout_core.outputs.typeface import CSS_WEIGHTS, Weight, text_width
from layout_core.units import mm
from tests.gold.scenes import two_order_job
from tests.make import make_artwork, make_job

OWN_ORDER, OTHER_ORDER = 12, 11
SVG = "{http://www.w3.org/2000/svg}"


def words_of(drawing: Drawing) -> str:
    return " ".join(words.text for words in every_words(drawing.parts))


def whole() -> str:
    return words_of(layout_proof(*two_order_job()))


def crowded_job() -> Job:
    """Sixty pieces with endless names in letters the face lacks, on sheets of 12 to 60 in."""
    shapes = [shapely.box(0, 0, 20 + i, 10 + i % 7) for i in range(60)]
    artworks = [make_artwork(shape, f"piece {i} " + "夜の蛾 " * 9) for i, shape in enumerate(shapes)]
    poses = [(i, Pose(60 + i % 3 * 90, 20 + i // 3 * 22, i * 17.0)) for i in range(60)]
    job = make_job(artworks, poses=poses, length_mm=mm(60))
    keys = ("full front", "left chest", "sleeve", "long sleeve", "full back", "nape", "hoodie front",
            "trouser leg", "tote", "gone from the table")  # fmt: skip
    sizes = ("toddler", "youth", "adult", "plus")
    pieces = tuple(
        replace(piece, placement=keys[i % 10], garment_size=sizes[i % 4])
        for i, piece in enumerate(job.pieces)
    )
    short = Sheet(2, "Sheet " + "B" * 90, mm(11.25), mm(12), mm(0.25), mm(0.25))
    return replace(
        job, name="Unending" * 40, pieces=pieces, sheets=(*job.sheets, short), garment_colour="#ffffff"
    )


def test_proof_names_job_revision_digest_customers_ink_and_cloth() -> None:
    job, findings = two_order_job()
    text = words_of(layout_proof(replace(job, revision=7), findings))
    digest = printable_digest(replace(job, revision=7))
    for fact in ("LAYOUT PROOF", "Lamp and tide", "Revision 7", digest, "Glow", "navy, black", "M 4, L 2",
                 "The Lamp Keepers, Rock Pool Ramblers"):  # fmt: skip
        assert fact in text


def test_proof_never_claims_to_be_a_contract_or_colour_proof() -> None:
    text = whole().lower()
    assert "layout proof" in text
    assert not re.search("contract proof|colour proof|validation print", text)


def test_proof_counts_each_piece_on_the_sheets_and_over_all_runs() -> None:
    text = whole()
    assert "2 of 2 on the sheets (Sheet A × 2); 12 printed" in text
    assert "1 on the sheets (Sheet A × 1); 6 printed" in text
    assert "6 sheets carry 24 pieces" in text


def test_proof_states_size_finest_line_and_ink_area() -> None:
    """By hand: the ring is 60 mm = 2.36 in across; the cross 60 x 14 + 14 x 54 - 14² mm² = 2.17 sq in."""
    text = whole()
    assert "2.36 × 2.36 in" in text
    assert "60 × 60 mm" in text
    assert "2.17 sq in" in text
    assert "0.012 in; 0.02 wanted" in text
    assert "at least 0.02 in" in text


def test_proof_lists_findings_gravest_first_and_who_waived_them_why() -> None:
    text = whole()
    order = [text.index(word) for word in ("Line 0.012 in wide", "0.2 in apart", "Gap 0.02 in wide")]
    assert order == sorted(order)
    assert "Waived by M. Reed, shop: Agreed" in text
    assert "2 open, 1 waived" in text


def test_alike_findings_share_a_row_that_counts_them() -> None:
    job, _ = two_order_job()
    pinholes = [
        Finding("pinhole", Severity.CAUTION, f"Hole 0.0{i} in across", i / 10, 0.9, piece_id=101)
        for i in (1, 2, 3)
    ]
    rest = Finding("pinhole", Severity.CAUTION, "90 more holes that fill in", piece_id=101)
    text = words_of(layout_proof(job, [*pinholes, rest]))
    assert "Hole 0.01 in across; 2 more like it; 90 more holes that fill in" in text
    assert "Hole 0.02" not in text


@pytest.mark.parametrize("order_id", [None, OWN_ORDER])
def test_every_proof_carries_the_cautions_in_full_and_the_approval_box(order_id: int | None) -> None:
    text = words_of(layout_proof(*two_order_job(), order_id=order_id))
    for caution in CAUTIONS:
        assert caution in text
    for field in (
        "Approved as shown",
        "Approved with the changes",
        "New proof wanted",
        "Name",
        "Signature",
        "Date",
    ):
        assert field in text
    assert "It does not cover colour" in text


def test_an_orders_proof_says_nothing_of_other_orders_or_the_shop() -> None:
    svg = to_svg(layout_proof(*two_order_job(), order_id=OWN_ORDER))
    for own in ("Lantern walk", "Rock Pool Ramblers", "Limpet ring", "12 printed in all"):
        assert own in svg
    for other in (
        "Moth survey",
        "Lamp",
        "Moon",
        "moon",
        "Star",
        "star",
        "Sheet",
        "navy",
        "apart",
        "0.012",
        "filler",
    ):
        assert other not in svg


def test_an_orders_proof_does_not_depend_on_other_orders() -> None:
    job, findings = two_order_job()
    before = to_svg(layout_proof(job, findings, order_id=OWN_ORDER))
    moon, ring, star = job.pieces
    kept = tuple(placed for placed in job.sheets[0].placed if placed.piece_id == ring.piece_id)
    changed = replace(
        job,
        name="Another name altogether",
        pieces=(
            replace(moon, name="Sun", copies=40, width_mm=200.0),
            replace(star, order_id=OTHER_ORDER),
            ring,
        ),
        arts=(replace(job.arts[0], artwork=make_artwork(name="sun")), *job.arts[1:]),
        orders=(Order(OTHER_ORDER, "Solstice", "Someone else"), job.orders[1]),
        sheets=(replace(job.sheets[0], name="Sheet Z", placed=kept, length_mm=mm(40)),),
    )
    others = [Finding("gap", Severity.STOP, "Secret", 0.1, 0.7, piece_id=moon.piece_id), findings[1]]
    assert to_svg(layout_proof(changed, others, order_id=OWN_ORDER)) == before
    alone = replace(changed, pieces=(ring,), arts=(job.arts[1],), orders=(job.orders[1],))
    assert to_svg(layout_proof(alone, [findings[1]], order_id=OWN_ORDER)) == before


def test_an_orders_proof_changes_with_its_own_count() -> None:
    job, findings = two_order_job()
    twice = replace(job, sheets=tuple(replace(sheet, run=12) for sheet in job.sheets))
    before, after = (words_of(layout_proof(one, findings, order_id=OWN_ORDER)) for one in (job, twice))
    assert "24 printed in all" in after
    assert before != after


def test_an_unknown_order_is_refused() -> None:
    with pytest.raises(KeyError):
        layout_proof(*two_order_job(), order_id=999)


def test_the_same_job_gives_the_same_pixels() -> None:
    assert proof_png(*two_order_job()) == proof_png(*two_order_job())


def test_png_states_a_page_of_letter_width() -> None:
    image = Image.open(io.BytesIO(proof_png(make_job(), ())))
    assert image.width / image.info["dpi"][0] == pytest.approx(8.5, abs=0.01)


@pytest.mark.parametrize("order_id", [None, OWN_ORDER])
@pytest.mark.parametrize(
    "job", [two_order_job()[0], crowded_job(), make_job()], ids=["two orders", "crowd", "empty"]
)
def test_no_word_is_wider_than_its_place_or_off_the_page(job: Job, order_id: int | None) -> None:
    findings = two_order_job()[1] if job.orders else ()
    if order_id is not None:
        pieces = tuple(replace(piece, order_id=order_id) for piece in job.pieces)
        job = replace(job, pieces=pieces, orders=(Order(order_id, "Order " * 40, "Customer" * 40),))
    drawing = layout_proof(job, findings, order_id=order_id)
    for words in every_words(drawing.parts):
        assert text_width(words.text, words.size, words.weight) <= words.most, words
    for left, right in word_spans(drawing):
        assert left >= 0
        assert right <= drawing.width


def word_spans(drawing: Drawing) -> list[tuple[float, float]]:
    """Left and right end of every word on the page, read back from the SVG."""
    weights: dict[str | None, Weight] = {str(number): name for name, number in CSS_WEIGHTS.items()}
    spans = []
    for text in etree.fromstring(to_svg(drawing).encode()).iter(f"{SVG}text"):
        x = float(text.get("x") or 0)
        for parent in text.iterancestors(f"{SVG}g"):
            x += float(re.findall(r"-?[\d.]+", parent.get("transform") or "0")[0])
        width = text_width(
            text.text or "", float(text.get("font-size") or 0), weights[text.get("font-weight")]
        )
        x -= {"middle": width / 2, "end": width}.get(text.get("text-anchor") or "", 0.0)
        spans.append((x, x + width))
    return spans


def test_letters_the_face_lacks_are_shown_and_explained() -> None:
    text = words_of(layout_proof(crowded_job(), ()))
    assert "piece 3 ??? ???" in text
    assert "shown as “?”" in text
    assert "shown as “?”" not in whole()


def test_a_missing_placement_is_named_instead_of_sketched() -> None:
    assert "No sketch: “gone from the table” is" in words_of(layout_proof(crowded_job(), ()))


def test_an_empty_job_still_makes_a_proof() -> None:
    text = words_of(layout_proof(make_job(), ()))
    for sentence in ("No order yet", "Nothing lies here yet", "There is no piece yet.", "Every check"):
        assert sentence in text
    assert "no sheet yet" in words_of(layout_proof(replace(make_job(), sheets=()), ()))


def test_fillers_without_room_are_named_and_not_drawn() -> None:
    job, findings = two_order_job()
    placed = tuple(one for one in job.sheets[0].placed if one.piece_id != 103)
    job = replace(job, sheets=(replace(job.sheets[0], placed=placed),))
    text = words_of(layout_proof(job, findings))
    assert "Fillers that found no room on the sheets: Star." in text
    assert "Nape" not in text


def test_sheets_are_drawn_to_one_scale_with_their_pieces_in_place() -> None:
    """Film, scale bar and ink are measured in the picture: 11.25 in of film against the bar of 1 in."""
    block = make_artwork(shapely.box(0, 0, 100, 50))
    job = make_job([block], poses=[(0, Pose(100.0, 75.0))], length_mm=mm(12))
    svg = etree.fromstring(to_svg(layout_proof(job, ())).encode())
    film = next(
        rect for rect in svg.iter(f"{SVG}rect") if rect.get("fill") == "#7E878F" and rect.get("stroke")
    )
    scale = float(film.get("width") or 0) / mm(11.25)
    assert float(film.get("height") or 0) == pytest.approx(mm(12) * scale, abs=0.02)
    use = film.getnext()
    assert use is not None
    a, b, c, d, x, y = map(float, re.findall(r"-?[\d.]+", use.get("transform") or ""))
    assert (a, b, c, d) == pytest.approx((scale, 0, 0, scale), rel=1e-4)
    assert (x, y) == pytest.approx((50 * scale, 50 * scale), abs=0.01)
    bars = [path.get("d") for path in svg.iter(f"{SVG}path") if (path.get("d") or "").startswith("M0 8L")]
    assert float(re.findall(r"[\d.]+", bars[0] or "")[2]) == pytest.approx(25.4 * scale, abs=0.01)


def test_ink_beyond_the_sheet_is_cut_off() -> None:
    """A block 100 mm wide whose middle lies on the sheet's left edge shows its right 50 mm."""
    block = make_artwork(shapely.box(0, 0, 100, 50))
    job = make_job([block], poses=[(0, Pose(0.0, 75.0))], length_mm=mm(12))
    svg = etree.fromstring(to_svg(layout_proof(job, ())).encode())
    film = next(
        rect for rect in svg.iter(f"{SVG}rect") if rect.get("fill") == "#7E878F" and rect.get("stroke")
    )
    scale = float(film.get("width") or 0) / mm(11.25)
    use = film.getnext()
    assert use is not None
    assert use.get("transform") is None
    paths = {f"#{path.get('id')}": path.get("d") or "" for path in svg.findall(f"{SVG}defs/{SVG}path")}
    points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", paths[use.get("href") or ""])
    across = [float(x) for x, _ in points]
    assert (min(across), max(across)) == pytest.approx((0.0, 50 * scale), abs=0.01)


def test_notes_are_told_apart_from_open_findings() -> None:
    job, findings = two_order_job()
    note = Finding("element_area", Severity.NOTE, "Hardly seen in the dark", 5.0, 10.0, "mm2", piece_id=103)
    text = words_of(layout_proof(job, [*findings, note]))
    assert "2 open, 1 waived, 1 note" in text
    assert "For information" in text
