"""The command that makes stock shapes: what it writes and prints, exit codes, one line for every error."""

import json
from pathlib import Path

import pytest

from layout_core.art.intake import read_art
from layout_core.art.stock import stock_artwork, stock_kinds, stock_shape
from tests.app.command_folder import Run, one_line_error


def test_shape_writes_the_shape_of_these_figures_at_true_size(run: Run) -> None:
    result = run("shape", "star", "points=7", "size=3in", "depth=40%", "corner=0", "-o", "star.svg")
    assert (result.exit_code, result.stderr) == (0, "")
    made = stock_artwork(stock_shape("star", points=7.0, size_mm=76.2, depth=0.4, corner_mm=0.0))
    assert Path("star.svg").read_bytes() == made.source
    assert read_art(Path("star.svg")).width_mm == pytest.approx(made.width_mm, abs=0.01)


def test_shape_takes_words_angles_and_shares(run: Run) -> None:
    assert run("shape", "badge", "top=CREW", "bottom=", "emblem=star", "-o", "a.svg").exit_code == 0
    expected = stock_artwork(stock_shape("badge", top="CREW", bottom="", emblem="star"))
    assert Path("a.svg").read_bytes() == expected.source
    assert run("shape", "moon", "turn=-40", "fullness=0.5", "-o", "b.svg").exit_code == 0
    expected = stock_artwork(stock_shape("moon", turn_deg=-40.0, fullness=0.5))
    assert Path("b.svg").read_bytes() == expected.source


def test_shape_prints_what_check_prints_with_its_figures(run: Run) -> None:
    document = json.loads(run("shape", "ring", "size=2in", "-o", "a.svg", "--json").stdout)
    assert (document["art"], document["shape"], document["findings"]) == ("a.svg", "ring", [])
    assert document["figures"] == {"size_mm": 50.8, "band_mm": 6.0}
    assert document["size_mm"] == pytest.approx([50.8, 50.8], abs=0.01)


def test_shape_ends_with_1_when_it_does_not_print(run: Run) -> None:
    result = run("shape", "burst", "size=0.3in", "rays=40", "-o", "a.svg")
    assert result.exit_code == 1
    assert "stop" in result.stdout
    assert Path("a.svg").exists()


def test_the_list_names_every_shape_and_its_figures(run: Run) -> None:
    lines = run("shape", "--list").stdout.splitlines()
    assert [line.split(":")[0] for line in lines if not line.startswith(" ")] == [
        k.key for k in stock_kinds()
    ]
    assert "  points=5  Points" in lines
    document = json.loads(run("shape", "star", "--list", "--json").stdout)
    assert [figure["name"] for figure in document[0]["figures"]] == ["size", "points", "depth", "corner"]


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("hexagon", "-o", "a.svg"), "there is no stock shape “hexagon”"),
        (("star", "sides=4", "-o", "a.svg"), "it has size, points, depth, corner"),
        (("star", "points", "-o", "a.svg"), "is no figure of a star"),
        (("star", "points=many", "-o", "a.svg"), "points: “many” is no number"),
        (("star", "points=2", "-o", "a.svg"), "must be from 3 to 60"),
        (("star", "size=tall", "-o", "a.svg"), "size"),
        (("star",), "-o"),
        ((), "shape --list"),
        (("star", "--limits", "nowhere", "-o", "a.svg"), "nowhere"),
    ],
)
def test_shape_refuses_in_one_line_and_writes_nothing(
    run: Run, arguments: tuple[str, ...], word: str
) -> None:
    one_line_error(run("shape", *arguments), word)
    assert not Path("a.svg").exists()
