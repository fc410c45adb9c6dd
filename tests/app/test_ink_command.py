"""The colours of an art on the command line: listed, chosen, and refused with one clear line."""

import json
from pathlib import Path

import pytest

from app.cli import main
from app.ink_report import InkWishes, ink_wishes
from layout_core.errors import InkMapError

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    '<rect x="10" y="10" width="80" height="60"/><rect x="20" y="20" width="40" height="30" fill="#ffcc00"/>'
    '<rect x="70" y="20" width="10" height="10" opacity=".4"/></svg>'
)


@pytest.fixture
def art(tmp_path: Path) -> str:
    path = tmp_path / "moth.svg"
    path.write_text(DRAWING)
    return str(path)


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as ended:
        main(["check", *arguments])
    printed = capsys.readouterr()
    return int(ended.value.code or 0), printed.out, printed.err


def test_inks_lists_colour_share_and_fate(capsys: pytest.CaptureFixture[str], art: str) -> None:
    code, out, _ = run(capsys, art, "--width", "100mm", "--inks")
    assert code == 0
    assert "#000000  75.0%  prints" in out
    assert "#ffcc00  25.0%  prints" in out
    assert "solid from 50% on" in out


def test_a_knocked_out_colour_is_no_ink(capsys: pytest.CaptureFixture[str], art: str) -> None:
    """40 x 30 of yellow at true size; then 80 x 60 less that."""
    _, out, _ = run(capsys, art, "--width", "40mm", "--ink", "#000000=knock", "--json")
    document = json.loads(out)
    assert document["ink_area_mm2"] == pytest.approx(1200, rel=1e-3)
    assert document["inks"]["swatches"][0] == {"colour": "#000000", "area_share": 0.75, "prints": False}
    _, out, _ = run(capsys, art, "--width", "80mm", "--ink", "#FFCC00=knock", "--json")
    assert json.loads(out)["ink_area_mm2"] == pytest.approx(3600, rel=1e-3)


def test_without_a_wish_the_document_says_nothing_of_inks(
    capsys: pytest.CaptureFixture[str], art: str
) -> None:
    _, out, _ = run(capsys, art, "--width", "80mm", "--json")
    assert "inks" not in json.loads(out)


def test_a_colour_that_the_art_has_not_is_named(capsys: pytest.CaptureFixture[str], art: str) -> None:
    code, _, err = run(capsys, art, "--width", "4in", "--ink", "#123456=knock")
    assert code == 2
    assert "moth.svg: #123456 is no colour of this art; it has #000000, #ffcc00" in err


def test_nothing_left_to_print_is_refused(capsys: pytest.CaptureFixture[str], art: str) -> None:
    code, _, err = run(capsys, art, "--width", "4in", "--ink", "#000000=knock", "--ink", "#ffcc00=knock")
    assert code == 2
    assert "nothing of the art would be left" in err


def test_options_are_read_as_typed() -> None:
    assert ink_wishes(False, (), None) == InkWishes()
    assert ink_wishes(True, ("#FFcc00=Print",), "40%") == InkWishes(True, (("#ffcc00", True),), 0.4)


@pytest.mark.parametrize(
    ("choices", "solid_from"), [(["yellow=print"], None), (["#ffcc00"], None), ([], "0.4"), ([], "400%")]
)
def test_options_that_cannot_be_read_are_refused(choices: list[str], solid_from: str | None) -> None:
    with pytest.raises(InkMapError, match="write it as"):
        ink_wishes(False, choices, solid_from)
