"""Adds or changes lettering: the words, how they are set, and how small this face may be."""

import math

from PySide6.QtWidgets import QPlainTextEdit, QWidget

from app.made_art import Made
from app.panels.lettering_fields import LetteringFields, fault_label, show_fault
from app.panels.made_editor import MadeEditor, set_caution
from app.widgets.buttons import small_button
from app.widgets.labels import captioned, label
from app.wiring import Workbench
from layout_core.art.lettering import Lettering, checked_lettering
from layout_core.errors import LetteringError
from layout_core.units import MM_PER_IN, write_length

_WORDS_PX = 76
_STEPS_PER_IN = 100


class LetteringEditor(MadeEditor):
    """Words become art while they are typed."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(
            bench, "Add lettering", "Change lettering", "Type the words and see them here.", parent
        )
        self.words = QPlainTextEdit()
        self.words.setPlaceholderText("One line or several")
        self.words.setTabChangesFocus(True)
        self.words.setFixedHeight(_WORDS_PX)
        self.words_fault = fault_label()
        self.setting = LetteringFields(bench)
        self.smallest = label("", "muted", wraps=True)
        self.use_smallest = small_button("Set it", "Set the smallest cap height", self._use_smallest)
        column = self.fields.column
        column.addWidget(captioned("Words", self.words))
        column.addWidget(self.words_fault)
        column.addWidget(self.setting)
        column.addStretch(1)
        self.extra.addWidget(self.smallest, 1)
        self.extra.addWidget(self.use_smallest)
        self._was_typed = False
        self.words.textChanged.connect(self._type)
        self.setting.changed.connect(self.take_wish)
        bench.settings.changed.connect(self._follow_unit)
        self.begin(None)

    def wish(self) -> Made | None:
        text = self.words.toPlainText()
        if not text.strip():
            return None
        wanted = self.setting.lettering(text)
        try:
            return checked_lettering(wanted)
        except LetteringError:
            return wanted  # the draft says what is wrong with it

    def show_made(self, made: Made | None) -> None:
        lettering = made if isinstance(made, Lettering) else Lettering("")
        was = self.words.blockSignals(True)
        self.words.setPlainText(lettering.text)
        self.words.blockSignals(was)
        self._was_typed = False
        self.setting.show_setting(lettering)

    def show_fault(self, fault: LetteringError | None) -> None:
        self.setting.show_error(fault)
        is_own = fault is not None and fault.about not in ("font", "bend")
        sentence = str(fault) if is_own else ""
        if self._was_typed and not self.words.toPlainText().strip():
            sentence = "the lettering has no words; type at least one letter"
        show_fault(self.words_fault, sentence)

    def show_draft(self) -> None:
        super().show_draft()
        wish, unit = self.drafting.wish, self._bench.settings.unit
        found = self.drafting.smallest_of(wish) if isinstance(wish, Lettering) else None
        self.use_smallest.hide()
        if found is None or not isinstance(wish, Lettering):
            is_looking = self.drafting.is_ready and self.drafting.is_busy
            set_caution(
                self.smallest, "Looking for the smallest size…" if is_looking else "", is_caution=False
            )
        elif found.size is None:
            words = "No cap height passes as it is set; widen the contour or choose a heavier font"
            set_caution(self.smallest, words, is_caution=True)
        else:
            least_mm = found.size.cap_height_mm
            words = f"Smallest cap height that passes: {write_length(_rounded_up(least_mm), unit)}"
            set_caution(self.smallest, words, is_caution=wish.cap_height_mm < least_mm)
            self.use_smallest.setVisible(abs(wish.cap_height_mm - _rounded_up(least_mm)) > 1e-6)

    def _type(self) -> None:
        self._was_typed = True
        self.take_wish()

    def _follow_unit(self) -> None:
        self.setting.set_unit(self._bench.settings.unit)
        self.show_draft()

    def _use_smallest(self) -> None:
        wish = self.drafting.wish
        found = self.drafting.smallest_of(wish) if isinstance(wish, Lettering) else None
        if found is not None and found.size is not None:
            self.setting.cap_height.set_value_mm(_rounded_up(found.size.cap_height_mm))
            self.take_wish()


def _rounded_up(length_mm: float) -> float:
    """The next hundredth of an inch: never below what passes."""
    return math.ceil(length_mm / MM_PER_IN * _STEPS_PER_IN - 1e-9) / _STEPS_PER_IN * MM_PER_IN
