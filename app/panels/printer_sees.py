"""What the printer will see of a piece: its finest measures against the print limits."""

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.panels.job_words import counted
from app.widgets.labels import Look, label, measure_row, set_look
from layout_core.checks.run import ArtReport
from layout_core.job.limits import PrintLimits
from layout_core.units import Unit, write_area, write_length, write_number

Said = tuple[str, Look]


class PrinterSees(QWidget):
    """Five measures; what falls below its limit says so in words, not by colour alone."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        names = ("Finest line", "Finest gap", "Ink area", "Smallest part", "Resolution")
        self._values: dict[str, QLabel] = {name: label("", "measure") for name in names}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(label("What the printer will see", "heading"))
        for name, value in self._values.items():
            column.addLayout(measure_row(name, value))

    def text_of(self, name: str) -> str:
        return self._values[name].text()

    def show_report(self, report: ArtReport | None, limits: PrintLimits, unit: Unit) -> None:
        said = _no_words() if report is None else _words(report, limits, unit)
        for name, (text, look) in said.items():
            self._values[name].setText(text)
            self._values[name].setAccessibleName(f"{name}: {text}")
            set_look(self._values[name], look)


def _no_words() -> dict[str, Said]:
    names = ("Finest line", "Finest gap", "Ink area", "Smallest part", "Resolution")
    return dict.fromkeys(names, ("measuring", "muted"))


def _words(report: ArtReport, limits: PrintLimits, unit: Unit) -> dict[str, Said]:
    parts = counted(report.elements, "part")
    small = report.smallest_element_mm2 < limits.element_mm2
    return {
        "Finest line": _width(report.line_weight_mm, limits.line_caution_mm, limits.line_stop_mm, unit),
        "Finest gap": _width(report.gap_mm, limits.gap_mm, 0.0, unit),
        "Ink area": (f"{write_area(report.ink_area_mm2, unit)} in {parts}", "measure"),
        "Smallest part": (
            write_area(report.smallest_element_mm2, unit)
            + (f" · below {write_area(limits.element_mm2, unit).split()[0]}" if small else ""),
            "note" if small else "measure",
        ),
        "Resolution": _resolution(report.resolution_dpi, limits),
    }


def _width(width_mm: float | None, limit_mm: float, stop_mm: float, unit: Unit) -> Said:
    """A finest width; None means that nothing falls below the limit."""
    if width_mm is None:
        return f"{write_length(limit_mm, unit)} or more", "measure"
    text = write_length(width_mm, unit)
    if width_mm >= limit_mm:
        return text, "measure"
    look: Look = "stop" if width_mm < stop_mm else "caution"
    return f"{text} · below {write_number(limit_mm, unit)}", look


def _resolution(dpi: float | None, limits: PrintLimits) -> Said:
    if dpi is None:
        return "outlines, sharp at any size", "measure"
    if dpi < limits.resolution_stop_dpi:
        return f"{dpi:.0f} dpi · below {limits.resolution_stop_dpi:.0f}", "stop"
    if dpi < limits.resolution_wanted_dpi:
        return f"{dpi:.0f} dpi · below {limits.resolution_wanted_dpi:.0f}", "caution"
    return f"{dpi:.0f} dpi", "measure"
