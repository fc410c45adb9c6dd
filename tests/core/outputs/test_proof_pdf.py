"""The proof as a document: what is on it, where pages break, and that an order's holds nothing of another."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from layout_core.checks.findings import Finding, Severity
from layout_core.job.approvals import printable_digest, sign_off
from layout_core.outputs.drawing import Area, Drawing, Group, Part, Words, every_words
from layout_core.outputs.pages import PAGE_HEIGHT, ROOM, Running, paged
from layout_core.outputs.proof_garment import GLOW
from layout_core.outputs.proof_notes import CAUTIONS
from layout_core.outputs.proof_pdf import proof_pages, proof_pdf
from layout_core.outputs.proof_style import MARGIN, Block, heading, one_line, stacked
from tests.core.outputs.print_tools import run_tool
from tests.core.outputs.shop_job import LANTERNS, MOTHS, SECRET, shop_job
from tests.core.outputs.test_proof import crowded_job


def words_of(pages: tuple[Drawing, ...]) -> str:
    return " ".join(words.text for page in pages for words in every_words(page.parts))


def test_proof_holds_every_section_and_every_caution() -> None:
    text = words_of(proof_pages(shop_job(), ()))
    for title in ("Sheets", "Pieces", "On the garment", "Spelling", "What will be printed", "Findings",
                  "Approval", "Cautions", "What your signature covers"):  # fmt: skip
        assert title in text
    for caution in CAUTIONS:
        for word in caution.split():
            assert word in text


def test_every_word_that_was_set_stands_in_large_type() -> None:
    pages = proof_pages(shop_job(), ())
    large = [words.text for page in pages for words in every_words(page.parts) if words.size >= 50]
    assert "LOW TIDE" in large
    assert "WALK" in large


def test_waiver_is_printed_with_its_name_and_reason() -> None:
    found = Finding("gap", Severity.CAUTION, "Gap 0.02 in wide", 0.5, 0.71, piece_id=102)
    text = words_of(proof_pages(shop_job(), (found,)))
    assert "Waived by M. Reed, shop: Agreed with the" in text


def test_proof_of_an_order_holds_no_word_of_another_in_text_or_metadata(tmp_path: Path) -> None:
    job = sign_off(shop_job(), MOTHS, f"{SECRET} chair", "1 May")
    data = proof_pdf(job, (), order_id=LANTERNS)
    path = tmp_path / "order.pdf"
    path.write_bytes(data)
    seen = run_tool("pdftotext", path, "-") + run_tool("pdfinfo", path)
    unpacked = tmp_path / "plain.pdf"
    run_tool("qpdf", "--qdf", "--object-streams=disable", path, unpacked)
    raw = unpacked.read_bytes()
    for word in SECRET.split():
        assert word not in seen
        assert word.encode() not in raw
        assert word.encode("utf-16-be") not in raw
    assert "Lantern walk" in seen
    whole = tmp_path / "whole.pdf"
    whole.write_bytes(proof_pdf(job, ()))
    assert SECRET.split()[0] in run_tool("pdftotext", whole, "-")


def test_proof_of_an_order_does_not_change_with_another_order() -> None:
    job = shop_job()
    other = replace(job, orders=(replace(job.orders[0], name="Another", lines=()), job.orders[1]))
    assert proof_pdf(job, (), order_id=LANTERNS) == proof_pdf(other, (), order_id=LANTERNS)


def test_pages_are_letter_paper_numbered_and_repeatable(tmp_path: Path) -> None:
    data = proof_pdf(shop_job(), ())
    assert data == proof_pdf(shop_job(), ())
    path = tmp_path / "proof.pdf"
    path.write_bytes(data)
    said = run_tool("pdfinfo", path)
    pages = proof_pages(shop_job(), ())
    assert f"Pages:           {len(pages)}" in said
    assert "612 x 792 pts (letter)" in said
    assert f"Page {len(pages)} of {len(pages)}" in words_of(pages)
    assert "Helvetica" not in run_tool("pdffonts", path)
    run_tool("qpdf", "--check", path)


def test_nothing_runs_off_a_page_of_a_crowded_job() -> None:
    for page in proof_pages(crowded_job(), ()):
        assert lowest(page.parts) <= PAGE_HEIGHT - MARGIN + 1


def lowest(parts: tuple[Part, ...], scale: float = 1.0, shift: float = 0.0) -> float:
    """The lowest baseline of any words."""
    found = 0.0
    for part in parts:
        if isinstance(part, Group):
            found = max(found, lowest(part.parts, scale * part.matrix[3], shift + scale * part.matrix[5]))
        elif isinstance(part, Words):
            found = max(found, shift + scale * part.y)
    return found


def row(text: str, height: float) -> Block:
    return Block(height, (one_line(0, 30, text, 20, 400),))


def test_heading_never_stands_alone_at_the_foot_of_a_page() -> None:
    filler = row("filler", ROOM - 120)
    section = stacked([heading("A heading"), row("first", 200), row("second", 200)], 10)
    first, second = paged([filler, section], 20, Running("foot", "title"))
    assert "A heading" not in words_of((first,))
    assert "A heading" in words_of((second,))


def test_rows_keep_their_order_and_a_row_taller_than_a_page_is_shrunk() -> None:
    section = stacked([row(f"row {i}", 700) for i in range(9)] + [row("tall", ROOM * 2)])
    pages = paged([section], 0, Running("foot", "title"))
    assert re.findall(r"row \d|tall", words_of(pages)) == [*(f"row {i}" for i in range(9)), "tall"]
    assert all(lowest(page.parts) <= PAGE_HEIGHT for page in pages)


def test_signature_that_holds_and_one_that_is_void_are_told_apart() -> None:
    job = sign_off(shop_job(), LANTERNS, "R. Marsh", "3 May")
    held = words_of(proof_pages(job, (), order_id=LANTERNS))
    assert "Signed by R. Marsh, 3 May. Nothing printable has changed since." in held
    assert printable_digest(job, LANTERNS) in held
    larger = tuple(replace(piece, width_mm=70.0) if piece.piece_id == 102 else piece for piece in job.pieces)
    void = words_of(proof_pages(replace(job, pieces=larger), (), order_id=LANTERNS))
    assert "This approval is void" in void


def test_unknown_order_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        proof_pdf(shop_job(), (), order_id=999)


def areas(parts: tuple[Part, ...]) -> list[str]:
    """The fill of every area, those in groups too."""
    found: list[str] = []
    for part in parts:
        if isinstance(part, Group):
            found += areas(part.parts)
        elif isinstance(part, Area):
            found.append(part.fill)
    return found


def test_every_piece_is_shown_on_its_garment_in_the_dark_once() -> None:
    fills = [fill for page in proof_pages(shop_job(), ()) for fill in areas(page.parts)]
    assert fills.count(GLOW) == len(shop_job().pieces)
