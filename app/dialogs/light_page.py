"""Ink, charge, venue and promise of the job."""

from collections.abc import Sequence

from PySide6.QtWidgets import QCheckBox, QGridLayout, QPushButton, QVBoxLayout, QWidget

from app.dialogs.job_light import change_lighting, lighting_of
from app.panels.job_words import titled
from app.widgets.labels import captioned, label, set_look
from app.widgets.quiet import QuietCombo, QuietDecimal
from app.wiring import Workbench
from layout_core.errors import TableError
from layout_core.glow.afterglow import LAMPS
from layout_core.glow.inks import BASIS_WORDS, load_inks
from layout_core.glow.promise_text import promise_words
from layout_core.glow.scene import scene_of
from layout_core.glow.venue import load_venues
from layout_core.glow.visibility import detected_m, sight
from layout_core.glow.words import too_bright_words
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Charge, Ink, Lighting, Promise, Venue
from layout_core.job.lighting_bounds import LEAST_PROMISE_M, MOST_MINUTES, MOST_PROMISE_M

FIRST_PROMISE = Promise(2.0, 20.0)
"""What a promise begins with; invented."""


class LightPage(QWidget):
    """Shows the job's lighting, or the usual one, and changes it."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._is_showing = False
        self._inks: tuple[Ink, ...] = ()
        self._venues: tuple[Venue, ...] = ()
        self._make_fields()
        self._lay_out()
        self._join()
        self.read_tables()

    def _make_fields(self) -> None:
        self.ink, self.lamp, self.venue = QuietCombo("Ink"), QuietCombo("Lamp"), QuietCombo("Venue")
        for lamp in LAMPS:
            self.lamp.addItem(titled(lamp), lamp)
        self.lux = QuietDecimal("Light on the print", 0.1, 200_000.0, " lx")
        self.charge_minutes = QuietDecimal("Time of the charge", 0.1, 10_000.0, " min")
        self.underbase = QCheckBox("White under the print")
        self.underbase.setToolTip("On dark cloth a thin film glows up to three times as bright over white")
        self.glance = QCheckBox("Seen without being looked for")
        self.glance.setToolTip("Asks for ten times the threshold of the laboratory instead of twice")
        self.promised = QCheckBox("The shop promises that every element")
        self.level = QuietCombo("What is promised")
        self.level.addItem("reads", "reads")
        self.level.addItem("is seen as a shape", "shape")
        self.distance = QuietDecimal("Promised distance", LEAST_PROMISE_M, MOST_PROMISE_M, " m")
        self.minutes = QuietDecimal("Promised time after lights-out", 0.0, MOST_MINUTES, " min")
        self.ink_note, self.promise_note = label("", "small", wraps=True), label("", "small", wraps=True)
        self.usual = QPushButton("Usual light, no promise")
        self.usual.setToolTip("Forget the light and the promise of this job")

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(8)
        grid.addWidget(captioned("&Ink", self.ink), 0, 0)
        grid.addWidget(captioned("&Venue", self.venue), 0, 1)
        grid.addWidget(self.ink_note, 1, 0, 1, 2)
        grid.addWidget(captioned("Charged under", self.lamp), 2, 0, 1, 2)
        grid.addWidget(captioned("Light on the print", self.lux), 3, 0)
        grid.addWidget(captioned("For", self.charge_minutes), 3, 1)
        grid.addWidget(self.underbase, 5, 0)
        grid.addWidget(self.glance, 5, 1)
        grid.addWidget(self.promised, 6, 0, 1, 2)
        grid.addWidget(captioned("&Promise", self.level), 7, 0, 1, 2)
        grid.addWidget(captioned("From", self.distance), 8, 0)
        grid.addWidget(captioned("After lights-out", self.minutes), 8, 1)
        grid.addWidget(self.promise_note, 9, 0, 1, 2)
        grid.addWidget(self.usual, 10, 0)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 12, 0, 0)
        outer.addLayout(grid)
        outer.addStretch(1)

    def _join(self) -> None:
        bench = self._bench
        bench.document.job_changed.connect(self.refresh)
        bench.glow.changed.connect(self.refresh)
        self.ink.activated.connect(lambda at: self._change("Ink of the job", ink=self.ink.itemData(at)))
        self.venue.activated.connect(lambda at: self._change("Venue", venue=self.venue.itemData(at)))
        for signal in (self.lamp.activated, self.lux.valueChanged, self.charge_minutes.valueChanged):
            signal.connect(self._charge)
        self.underbase.clicked.connect(lambda on: self._change("White under the print", has_underbase=on))
        self.glance.clicked.connect(lambda on: self._change("Seen at a glance", at_a_glance=on))
        self.promised.clicked.connect(
            lambda on: self._change("Promise", promise=FIRST_PROMISE if on else None)
        )
        for signal in (self.level.activated, self.distance.valueChanged, self.minutes.valueChanged):
            signal.connect(self._promise)
        self.usual.clicked.connect(
            lambda: bench.document.apply("Usual light", lambda job: set_lighting(job, None))
        )

    def read_tables(self) -> None:
        """Read the shop's inks and venues; while one holds a mistake, the last good ones stand."""
        set_look(self.ink_note, "small")
        try:
            self._inks, self._venues = load_inks(), load_venues()
        except TableError as error:
            self._bench.notices.tell_error(error, "reading the inks and venues")
        self.refresh()

    def _change(self, text: str, **changes: object) -> None:
        if not self._is_showing:
            change_lighting(self._bench, text, **changes)
            self.refresh()

    def _charge(self) -> None:
        lamp = self.lamp.currentData()
        if lamp is None:
            return
        charge = Charge(lamp, self.lux.value(), self.charge_minutes.value())
        self._change("Charge", charge=charge)

    def _promise(self) -> None:
        level = self.level.currentData()
        self._change("Promise", promise=Promise(self.distance.value(), self.minutes.value(), level))

    def refresh(self) -> None:
        """Bring every field in line with the lighting, without telling anyone."""
        lighting = lighting_of(self._bench)
        self.setEnabled(lighting is not None)
        if lighting is None:
            return
        self._is_showing = True
        self._show(lighting)
        self._is_showing = False

    def _show(self, lighting: Lighting) -> None:
        _fill(self.ink, self._inks, lighting.ink)
        _fill(self.venue, self._venues, lighting.venue)
        ink = lighting.ink
        self.ink_note.setText(f"{ink.l10_mcd_m2:.3g} mcd/m² ten minutes after a full charge: "
                              f"{BASIS_WORDS[ink.basis]}")  # fmt: skip
        self.lamp.setCurrentIndex(self.lamp.findData(lighting.charge.lamp))
        self.lux.setValue(lighting.charge.illuminance_lx)
        self.charge_minutes.setValue(lighting.charge.minutes)
        self.underbase.setChecked(lighting.has_underbase)
        self.glance.setChecked(lighting.at_a_glance)
        promise = lighting.promise
        self.promised.setChecked(promise is not None)
        for field in (self.level, self.distance, self.minutes):
            field.setEnabled(promise is not None)
        shown = FIRST_PROMISE if promise is None else promise
        self.level.setCurrentIndex(self.level.findData(shown.level))
        self.distance.setValue(shown.distance_m)
        self.minutes.setValue(shown.minutes)
        self._say_promise(lighting)
        self.usual.setEnabled(self._bench.document.job.lighting is not None)

    def _say_promise(self, lighting: Lighting) -> None:
        """What is promised, or that the venue outshines the print at that moment."""
        promise = lighting.promise
        moment = FIRST_PROMISE.minutes if promise is None else promise.minutes
        scene = scene_of(lighting, self._bench.document.job.garment_colour)
        is_too_dim = not float(detected_m(1.0, 1.0, sight(scene, moment))[0]) > 0.0
        if is_too_dim:
            words = too_bright_words(scene.background_cd_m2, float(scene.luminance_cd_m2(moment)))
            self.promise_note.setText(f"{words}, {moment:g} min after lights-out.")
        elif promise is None:
            self.promise_note.setText("Nothing is promised: no finding speaks of distance.")
        else:
            told = promise_words(promise, lighting.venue)
            self.promise_note.setText(f"Every element {told}; what does not is a finding.")
        set_look(self.promise_note, "caution" if is_too_dim else "small")


def _fill(combo: QuietCombo, known: Sequence[Ink | Venue], current: Ink | Venue) -> None:
    """The table's entries, and the job's own where the table lacks it or has another of its name."""
    entries = [*known] if current in known else [*known, current]
    if [combo.itemData(at) for at in range(combo.count())] != entries:
        combo.clear()
        for entry in entries:
            own = " (this job's)" if current not in known and entry == current else ""
            combo.addItem(f"{titled(entry.name)}{own}", entry)
    combo.setCurrentIndex(entries.index(current))
