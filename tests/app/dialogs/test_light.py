"""Light and promise by hand: every field, bad input, the shop's own ink, and the swatch card."""

from dataclasses import replace
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QWidget
from pytestqt.qtbot import QtBot

from app.dialogs.light_page import LightPage
from app.dialogs.own_ink_page import OwnInkPage
from app.dialogs.swatch_page import SwatchPage
from app.messages import Message
from app.wiring import Workbench
from layout_core.glow.calibration import Sighting, calibrated
from layout_core.glow.inks import TABLE, load_inks
from layout_core.glow.scene import scene_of, usual_lighting
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Lighting, Promise, Venue
from layout_core.tables import make_own_table
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui
LEFT = Qt.MouseButton.LeftButton
P = TypeVar("P", bound=QWidget)


@pytest.fixture
def page(keep: Keep, bench: Workbench, qtbot: QtBot) -> LightPage:
    return shown(LightPage(bench), keep, bench, qtbot)


@pytest.fixture
def own(keep: Keep, bench: Workbench, qtbot: QtBot) -> OwnInkPage:
    return shown(OwnInkPage(bench), keep, bench, qtbot)


@pytest.fixture
def swatch(keep: Keep, bench: Workbench, qtbot: QtBot) -> SwatchPage:
    return shown(SwatchPage(bench), keep, bench, qtbot)


def shown(made: P, keep: Keep, bench: Workbench, qtbot: QtBot) -> P:
    keep(made)
    made.resize(520, 620)
    settle(qtbot, bench)
    return made


def light(bench: Workbench) -> Lighting:
    lighting = bench.document.job.lighting
    assert lighting is not None
    return lighting


def type_in(qtbot: QtBot, field: QDoubleSpinBox, text: str) -> None:
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def choose(qtbot: QtBot, combo: QComboBox, row: int) -> None:
    """By keys, as `activated` tells only what a person does."""
    combo.setFocus()
    qtbot.keyClick(combo, Qt.Key.Key_Home)
    for _ in range(row):
        qtbot.keyClick(combo, Qt.Key.Key_Down)


# Light and promise


def test_a_promise_is_made_typed_and_taken_back_in_single_steps(
    page: LightPage, bench: Workbench, qtbot: QtBot
) -> None:
    stack = bench.document.undo_stack
    assert not page.distance.isEnabled()
    page.promised.setFocus()
    qtbot.keyClick(page.promised, Qt.Key.Key_Space)
    assert light(bench).promise == Promise(2.0, 20.0)
    type_in(qtbot, page.distance, "3")
    type_in(qtbot, page.minutes, "30")
    choose(qtbot, page.level, 1)
    assert light(bench).promise == Promise(3.0, 30.0, "shape")
    assert "seen as a shape at 3 m after 30 min, dim hall" in page.promise_note.text()
    stack.undo()
    assert light(bench).promise == Promise(3.0, 30.0)
    qtbot.keyClick(page.promised, Qt.Key.Key_Space)
    assert light(bench).promise is None
    assert "Nothing is promised" in page.promise_note.text()
    qtbot.mouseClick(page.usual, LEFT)
    assert bench.document.job.lighting is None


def test_venue_ink_and_charge_are_chosen_by_key(page: LightPage, bench: Workbench, qtbot: QtBot) -> None:
    choose(qtbot, page.venue, 1)
    assert light(bench).venue.name == "blacked-out room"
    choose(qtbot, page.ink, 2)
    assert light(bench).ink == load_inks()[2]
    assert f"{light(bench).ink.l10_mcd_m2:.3g} mcd/m²" in page.ink_note.text()
    choose(qtbot, page.lamp, 3)
    type_in(qtbot, page.lux, "500")
    type_in(qtbot, page.charge_minutes, "10")
    charge = light(bench).charge
    assert (charge.lamp, charge.illuminance_lx, charge.minutes) == (page.lamp.itemData(3), 500.0, 10.0)
    for box, name in ((page.underbase, "has_underbase"), (page.glance, "at_a_glance")):
        box.setFocus()
        qtbot.keyClick(box, Qt.Key.Key_Space)
        assert getattr(light(bench), name) is True


def test_a_venue_brighter_than_the_print_is_said_before_anything_is_promised(
    page: LightPage, bench: Workbench, qtbot: QtBot
) -> None:
    bench.document.apply(
        "Venue", lambda job: set_lighting(job, replace(usual_lighting(), venue=Venue("noon", 300.0)))
    )
    settle(qtbot, bench)
    assert "too bright for this print" in page.promise_note.text()
    assert page.promise_note.property("look") == "caution"
    bench.document.undo_stack.undo()
    qtbot.waitUntil(lambda: "Nothing is promised" in page.promise_note.text(), timeout=WAIT_MS)
    assert page.promise_note.property("look") == "small"


@pytest.mark.parametrize(
    ("name", "typed"),
    [("distance", "0"), ("distance", "1000"), ("lux", "0"), ("lux", "-5"), ("charge_minutes", "0"),
     ("distance", "far"), ("minutes", "-1"), ("minutes", "99999")],
)  # fmt: skip
def test_figures_out_of_bounds_never_reach_the_job(
    page: LightPage, bench: Workbench, qtbot: QtBot, name: str, typed: str
) -> None:
    """No distance of 0 or 1 km, no light of zero or less: the field takes the nearest that holds, or none."""
    qtbot.keyClick(page.promised, Qt.Key.Key_Space)
    field: QDoubleSpinBox = getattr(page, name)
    type_in(qtbot, field, typed)
    assert field.minimum() <= field.value() <= field.maximum()
    lighting = light(bench)
    assert lighting.promise is not None
    assert 0.1 <= lighting.promise.distance_m <= 100.0
    assert 0.0 <= lighting.promise.minutes <= 2100.0
    assert lighting.charge.illuminance_lx >= 0.1
    assert lighting.charge.minutes >= 0.1


def test_a_job_with_an_ink_of_its_own_shows_it_beside_the_shops(
    page: LightPage, bench: Workbench, qtbot: QtBot
) -> None:
    foreign = replace(usual_lighting(), ink=replace(usual_lighting().ink, name="visitor", l10_mcd_m2=77.0))
    bench.document.apply("Light", lambda job: set_lighting(job, foreign))
    assert page.ink.currentText() == "Visitor (this job's)"
    assert page.ink.count() == len(load_inks()) + 1


def test_an_ink_table_with_a_mistake_is_told_and_the_last_good_inks_stay(
    page: LightPage, bench: Workbench, qtbot: QtBot
) -> None:
    told: list[Message] = []
    bench.notices.told.connect(lambda message, grade: told.append(message))
    before = [page.ink.itemText(row) for row in range(page.ink.count())]
    ink = usual_lighting().ink
    broken = '["broken"]\nluminance_10min = -3\nfilm_um = 50\nunder_reflectance = 0.04\nbasis = "assumed"\n'
    make_own_table(TABLE).write_text(broken, "utf-8")
    page.read_tables()
    assert TABLE in told[0].text
    assert "line" in told[0].text
    assert "-3" in told[0].text
    assert [page.ink.itemText(row) for row in range(page.ink.count())] == before
    bench.glow.look_again()
    qtbot.waitUntil(lambda: bench.glow.trouble != "", timeout=WAIT_MS)
    assert bench.glow.state is not None
    assert bench.glow.state.lighting.ink == ink


# The own ink


def keep_readings(qtbot: QtBot, own: OwnInkPage, text: str) -> None:
    own.readings.clear()
    for line in text.split("\n"):
        qtbot.keyClicks(own.readings, line)
        qtbot.keyClick(own.readings, Qt.Key.Key_Return)
    qtbot.mouseClick(own.use, LEFT)


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ("10 50\n30 60", "60"),
        ("10 50", "two or more"),
        ("", "two or more"),
        ("10 0\n30 15", "0 mcd/m² at 10 min"),
        ("10 50\n30 -15", "-15 mcd/m² at 30 min"),
        ("10 50\n10 40", "two readings at 10 min"),
        ("10 50\nbright", "bright"),
        ("10 50\n1 h 7", "hours"),
        ("10 0.05 cd/m2\n30 0.015 cd/m2", "thousandths"),
        ("0 50\n30 15", "a reading at 0 min"),
    ],
)
def test_readings_that_cannot_be_are_refused_and_the_last_good_ink_stays(
    own: OwnInkPage, bench: Workbench, qtbot: QtBot, readings: str, words: str
) -> None:
    keep_readings(qtbot, own, "10 50\n30 15\n60 7")
    good, inks = light(bench).ink, load_inks()
    assert good.basis == "readings"
    keep_readings(qtbot, own, readings)
    assert words in own.said.text()
    assert own.said.property("look") == "stop"
    assert own.said.accessibleName() == own.said.text()
    assert (light(bench).ink, load_inks()) == (good, inks)


def test_readings_become_the_ink_of_the_job_and_of_the_shop(
    own: OwnInkPage, bench: Workbench, qtbot: QtBot
) -> None:
    own.name.selectAll()
    qtbot.keyClicks(own.name, "Glow 7")
    with qtbot.waitSignal(own.kept):
        keep_readings(qtbot, own, "10 min 50; 30 min 15; 60 min 7 mcd/m2")
    ink = light(bench).ink
    assert (ink.name, ink.basis) == ("Glow 7", "readings")
    assert ink.l10_mcd_m2 == pytest.approx(50.0, rel=0.05)
    assert [found.name for found in load_inks()].count("Glow 7") == 1
    assert "Kept" in own.said.text()
    bench.document.undo_stack.undo()
    assert bench.document.job.lighting is None


# The swatch card


def see(qtbot: QtBot, page: SwatchPage, distance: str, minutes: str) -> None:
    type_in(qtbot, page.distance, distance)
    type_in(qtbot, page.minutes, minutes)
    qtbot.mouseClick(page.add, LEFT)


def test_what_was_seen_makes_the_shops_own_ink(swatch: SwatchPage, bench: Workbench, qtbot: QtBot) -> None:
    assert not swatch.calibrate.isEnabled()
    see(qtbot, swatch, "1.2", "20")
    see(qtbot, swatch, "1.1", "30")
    assert [one.distance_m for one in swatch.sightings] == [1.2, 1.1]
    wanted = calibrated(
        "own swatch", scene_of(usual_lighting(), bench.document.job.garment_colour), swatch.sightings
    )
    qtbot.mouseClick(swatch.calibrate, LEFT)
    ink = light(bench).ink
    assert ink.basis == "swatch"
    assert ink.l10_mcd_m2 == pytest.approx(wanted.ink.l10_mcd_m2, rel=1e-3)
    assert "own swatch is used from now on" in swatch.said.text()
    assert "within a factor of" in swatch.said.text()
    assert usual_lighting().ink.basis == "swatch", "new jobs begin with it"


def test_a_sighting_is_taken_back(swatch: SwatchPage, qtbot: QtBot) -> None:
    see(qtbot, swatch, "1.2", "20")
    see(qtbot, swatch, "2.5", "20")
    swatch.list.setCurrentRow(0)
    qtbot.mouseClick(swatch.remove, LEFT)
    assert [one.distance_m for one in swatch.sightings] == [2.5]
    assert swatch.list.count() == 1
    assert isinstance(swatch.sightings[0], Sighting)


def test_a_sighting_that_no_print_could_give_is_refused_and_no_ink_is_kept(
    swatch: SwatchPage, bench: Workbench, qtbot: QtBot
) -> None:
    inks = load_inks()
    see(qtbot, swatch, "100", "480")
    qtbot.mouseClick(swatch.calibrate, LEFT)
    assert "100 m" in swatch.said.text()
    assert swatch.said.property("look") == "stop"
    assert load_inks() == inks
    assert bench.document.job.lighting is None


def test_the_card_comes_into_the_job_at_its_true_size(
    swatch: SwatchPage, bench: Workbench, qtbot: QtBot
) -> None:
    qtbot.mouseClick(swatch.add_card, LEFT)
    piece = bench.document.job.pieces[-1]
    assert piece.name == "Swatch card"
    assert piece.width_mm == pytest.approx(bench.document.job.artwork_of(piece).width_mm)
    assert bench.selection.piece_id == piece.piece_id
    bench.document.undo_stack.undo()
    assert len(bench.document.job.pieces) == 3
