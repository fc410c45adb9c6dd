"""The commands that make art from words: what they write and print, exit codes, one line for every error."""

import json
from pathlib import Path

import pytest

from layout_core.art.intake import read_art
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.job.file import read_job
from tests.app.command_folder import Run, one_line_error


def test_letter_writes_the_words_at_true_size(run: Run) -> None:
    result = run(
        "letter", "MOTH", "NIGHT", "--font", "lato black", "--cap", "3/4in", "--bend", "40", "-o", "a.svg"
    )
    assert (result.exit_code, result.stderr) == (0, "")
    made = lettering_artwork(Lettering("MOTH\nNIGHT", font="Lato Black", cap_height_mm=19.05, bend_deg=40.0))
    assert Path("a.svg").read_bytes() == made.source
    assert read_art(Path("a.svg")).width_mm == pytest.approx(made.width_mm, abs=0.01)
    assert "smallest cap height that passes: 0." in result.stdout


def test_letter_prints_what_check_prints_and_how_small_it_may_be(run: Run) -> None:
    result = run("letter", "MOTH", "-o", "a.svg", "--json")
    document = json.loads(result.stdout)
    assert document["art"] == "a.svg"
    assert document["font"] == "Fredoka One"
    assert document["cap_height_mm"] == 25.4
    assert 2.0 < document["smallest_cap_height_mm"] < 15.0
    assert document["findings"] == []
    assert {"size_mm", "ink_area_mm2", "line_weight_mm", "smallest_held_by"} <= set(document)


def test_letter_ends_with_1_when_the_words_do_not_print(run: Run) -> None:
    result = run("letter", "Moth", "--cap", "1.5mm", "-o", "a.svg")
    assert result.exit_code == 1
    assert "stop" in result.stdout
    assert Path("a.svg").exists()


def test_letter_takes_a_contour_of_its_own_measures(run: Run) -> None:
    args = ("letter", "MOTH", "--contour", "outside", "--line", "1mm", "--gap", "1.5mm", "-o", "a.svg")
    assert run(*args).exit_code == 0
    expected = Lettering("MOTH", contour="outside", line_mm=1.0, gap_mm=1.5)
    assert Path("a.svg").read_bytes() == lettering_artwork(expected).source


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("MOTH", "--font", "No Such Face"), "“No Such Face” is not on this computer"),
        (("日🦋",), "has no “日”, “🦋”"),
        ((" ",), "has no words"),
        (("MOTH", "--cap", "tall"), "--cap"),
        (("MOTH", "--cap", "0"), "--cap"),
        (("MOTH", "--bend", "400"), "bend"),
        (("MOTH", "--contour", "double"), "--contour"),
        (("MOTH", "--limits", "nowhere"), "nowhere"),
        ((), "TEXT"),
    ],
)
def test_letter_refuses_in_one_line_and_writes_nothing(
    run: Run, arguments: tuple[str, ...], word: str
) -> None:
    one_line_error(run("letter", *arguments, "-o", "a.svg"), word)
    assert not Path("a.svg").exists()


def test_names_adds_a_piece_a_row_and_checks_each(run: Run) -> None:
    Path("crew.csv").write_text("name;number\nIna;7\nOli;12\n", "utf-8")
    result = run(
        "names", "crew.csv", "--job", "night.duskjob", "--out", "crew.duskjob", "--text", r"{name}\n{number}",
        "--cap", "1in", "--order", "Moth Survey Night", "--json",
    )  # fmt: skip
    assert (result.exit_code, result.stderr) == (0, "")
    document = json.loads(result.stdout)
    assert [(row["piece"], row["copies"], row["findings"]) for row in document] == [
        ("Ina 7", 1, []), ("Oli 12", 1, [])
    ]  # fmt: skip
    before, job = read_job(Path("night.duskjob")), read_job(Path("crew.duskjob"))
    added = job.pieces[len(before.pieces) :]
    assert [(piece.name, piece.placement, piece.order_id) for piece in added] == [
        ("Ina 7", "left chest", 2), ("Oli 12", "left chest", 2)
    ]  # fmt: skip
    assert [art.lettering.text for art in job.arts if art.lettering] == ["Ina\n7", "Oli\n12"]


def test_names_too_small_to_print_end_with_1_and_are_written_all_the_same(run: Run) -> None:
    Path("crew.csv").write_text("Ina\nOli\n", "utf-8")
    result = run("names", "crew.csv", "--job", "night.duskjob", "--out", "crew.duskjob", "--cap", "1mm")
    assert result.exit_code == 1
    assert "stop" in result.stdout
    assert result.stdout.startswith("1 x Ina: ")
    assert result.stdout.endswith("crew.duskjob\n")
    assert len(read_job(Path("crew.duskjob")).pieces) == 4


@pytest.mark.parametrize(
    ("text", "extra", "words"),
    [
        ("name,shirt\nIna,M\n", (), ("crew.csv", "“shirt”")),
        ("name,copies\n,2\n", (), ("crew.csv", "row 2")),
        ("Ina\n日本\n", (), ("crew.csv", "row 2", "“日”")),
        ("", (), ("crew.csv", "no names")),
        ("Ina\n", ("--order", "nobody"), ("nobody",)),
        ("Ina\n", ("--placement", "moon"), ("moon",)),
        ("Ina\n", ("--job", "gone.duskjob"), ("gone.duskjob",)),
    ],
)
def test_names_refuses_in_one_line_and_writes_nothing(
    run: Run, text: str, extra: tuple[str, ...], words: tuple[str, ...]
) -> None:
    Path("crew.csv").write_text(text, "utf-8")
    one_line_error(
        run("names", "crew.csv", "--job", "night.duskjob", "--out", "crew.duskjob", *extra), *words
    )
    assert not Path("crew.duskjob").exists()


def test_fonts_lists_the_bundled_faces_first(run: Run) -> None:
    lines = run("fonts").stdout.splitlines()
    assert lines[0] == "Fredoka One (heavy, rounded; comes along)"
    document = json.loads(run("fonts", "--json").stdout)
    assert [font["bundled"] for font in document["fonts"][:6]] == [True] * 6
    assert document["fonts"][0] == {"name": "Fredoka One", "bundled": True, "suits": "heavy, rounded"}
