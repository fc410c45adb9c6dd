"""The one style sheet, built from a theme's tokens, without Qt.

Widgets ask for a look by the dynamic property "look": buttons primary, tonal, fix, quiet, compact or segment;
labels title, heading, strong, muted, small, caption, measure, caution, stop or note; frames card, panel,
notice or segmented; fields stop.
"""

from dataclasses import asdict
from pathlib import Path
from string import Template

from app.tokens import Theme


def style_sheet(theme: Theme, icons: Path) -> str:
    """The application's style sheet; `icons` is the folder that holds controls/."""
    words = {**asdict(theme), "controls": (icons / "controls").as_posix(), "tone": theme.name}
    return "\n".join(Template(part).substitute(words) for part in (_GROUND, _BUTTONS, _FIELDS, _LISTS, _REST))


_GROUND = """
QMainWindow, QDialog { background: $back; }
QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }
QLabel { background: transparent; }
QLabel[look="title"] { font-size: 14px; font-weight: 700; }
QLabel[look="heading"] { font-weight: 700; }
QLabel[look="strong"] { font-weight: 600; }
QLabel[look="muted"] { color: $muted; }
QLabel[look="small"], QLabel[look="caption"] { font-size: 12px; color: $muted; }
QLabel[look="measure"] { font-weight: 500; }
QLabel[look="note"] { color: $note; }
QLabel[look="caution"] { color: $caution; }
QLabel[look="stop"] { color: $stop; }
QFrame[look="card"] { background: $raised; border: 1px solid $line; border-radius: 8px; }
QFrame[look="panel"], QWidget[look="panel"] { background: $panel; border: none; }
QFrame[look="notice"] { background: $raised; border: none; border-bottom: 1px solid $line; }
QFrame[look="segmented"] { background: $raised; border: 1px solid $line; border-radius: 8px; }
QToolTip { background: $raised; color: $text; border: 1px solid $edge; padding: 4px 8px; font-size: 12px; }
QSplitter::handle { background: $line; }
QSplitter::handle:horizontal { width: 1px; }
QSplitter::handle:vertical { height: 1px; }
QSplitter::handle:hover { background: $accent; }
QStatusBar { background: $panel; color: $muted; border-top: 1px solid $line; }
QStatusBar::item { border: none; }
"""

_BUTTONS = """
QPushButton, QToolButton { background: $raised; color: $text; border: 1px solid $line; border-radius: 6px;
  font-weight: 600; }
QPushButton { min-height: 30px; padding: 0 14px; }
QToolButton { min-height: 30px; min-width: 30px; padding: 0; }
QToolButton[popupMode="1"] { padding-right: 18px; }
QToolButton::menu-button { border: none; width: 18px; }
QToolButton::menu-indicator { image: none; }
QPushButton:hover, QToolButton:hover { background: $hover; border-color: $edge; }
QPushButton:pressed, QToolButton:pressed { background: $line; }
QPushButton:checked, QToolButton:checked { background: $accent_fill; color: $accent_text;
  border-color: $accent; }
QPushButton:disabled, QToolButton:disabled { background: $panel; color: $faint; border-color: $line; }
QPushButton:focus, QToolButton:focus { border: 2px solid $accent; }
QPushButton[look="primary"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[look="primary"]:hover { background: $accent_hover; border-color: $accent_hover; }
QPushButton[look="primary"]:disabled { background: $panel; color: $faint; border-color: $line; }
QPushButton[look="primary"]:focus { border: 2px solid $text; }
QPushButton[look="tonal"] { background: $accent_fill; color: $accent_text; border-color: $accent_fill; }
QPushButton[look="tonal"]:hover { border-color: $accent; }
QPushButton[look="tonal"]:disabled { background: $panel; color: $faint; border-color: $line; }
QPushButton[look="tonal"]:focus { border: 2px solid $accent; }
QPushButton[look="fix"] { background: $accent_fill; color: $accent_text; border-color: $accent_fill;
  min-height: 26px; padding: 0 8px; font-size: 12px; }
QPushButton[look="fix"]:disabled { background: $panel; color: $faint; border-color: $line; }
QPushButton[look="fix"]:hover, QPushButton[look="fix"]:focus { border: 1px solid $accent; }
QPushButton[look="quiet"], QToolButton[look="quiet"] { background: transparent; border-color: transparent; }
QPushButton[look="quiet"]:hover, QToolButton[look="quiet"]:hover { background: $hover; border-color: $hover; }
QToolButton[look="quiet"]:checked { background: $accent_fill; border-color: $accent; }
QPushButton[look="quiet"]:focus, QToolButton[look="quiet"]:focus { border: 2px solid $accent; }
QPushButton[look="compact"] { min-height: 26px; padding: 0 10px; }
QPushButton[look="segment"], QToolButton[look="segment"] { background: transparent; color: $muted;
  border: 2px solid transparent; min-height: 24px; padding: 0 16px; }
QPushButton[look="segment"]:hover, QToolButton[look="segment"]:hover { color: $text; background: $hover; }
QPushButton[look="segment"]:checked, QToolButton[look="segment"]:checked { background: $accent_fill;
  color: $accent_text; }
QPushButton[look="segment"]:focus, QToolButton[look="segment"]:focus { border-color: $accent; }
QPushButton[look="segment"]:disabled, QToolButton[look="segment"]:disabled { color: $faint; }
QCheckBox, QRadioButton { spacing: 8px; min-height: 24px; border: 2px solid transparent; border-radius: 6px;
  padding: 0 2px; }
QCheckBox:focus, QRadioButton:focus { border-color: $accent; }
QCheckBox:disabled, QRadioButton:disabled { color: $faint; }
QCheckBox::indicator, QRadioButton::indicator, QListView::indicator, QTreeView::indicator,
QTableView::indicator, QMenu::indicator:non-exclusive { width: 16px; height: 16px; border: 1px solid $edge;
  border-radius: 4px; background: $raised; }
QRadioButton::indicator { border-radius: 9px; }
QCheckBox::indicator:hover, QRadioButton::indicator:hover { border-color: $accent; }
QCheckBox::indicator:checked, QListView::indicator:checked, QTreeView::indicator:checked,
QTableView::indicator:checked { background: $accent; border-color: $accent;
  image: url($controls/check-$tone.svg); }
QCheckBox::indicator:indeterminate { background: $accent; border-color: $accent;
  image: url($controls/dash-$tone.svg); }
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled { border-color: $line; background: $panel; }
QRadioButton::indicator:checked { border: 5px solid $accent; width: 8px; height: 8px;
  background: $on_accent; }
QCheckBox::indicator:checked:disabled, QCheckBox::indicator:indeterminate:disabled { background: $faint;
  border-color: $faint; }
QRadioButton::indicator:checked:disabled { border-color: $faint; background: $panel; }
"""

_FIELDS = """
QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QAbstractSpinBox { background: $raised; color: $text;
  border: 1px solid $edge; border-radius: 6px; padding: 0 8px; selection-background-color: $accent;
  selection-color: $on_accent; }
QLineEdit, QComboBox { min-height: 30px; }
QAbstractSpinBox { min-height: 28px; }
QPlainTextEdit, QTextEdit { padding: 6px 8px; }
QLineEdit:hover, QComboBox:hover, QAbstractSpinBox:hover { border-color: $muted; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {
  border: 2px solid $accent; padding-left: 7px; padding-right: 7px; }
QLineEdit[look="stop"], QComboBox[look="stop"], QAbstractSpinBox[look="stop"] { border: 2px solid $stop; }
QLineEdit:disabled, QPlainTextEdit:disabled, QTextEdit:disabled, QComboBox:disabled,
  QAbstractSpinBox:disabled {
  background: $panel; color: $faint; border-color: $line; }
QAbstractSpinBox, QAbstractSpinBox:focus { padding: 0; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { subcontrol-origin: border; width: 28px;
  height: 28px;
  border: none; border-radius: 5px; background: transparent; }
QAbstractSpinBox::up-button { subcontrol-position: center right; }
QAbstractSpinBox::down-button { subcontrol-position: center left; }
QAbstractSpinBox::up-button:hover, QAbstractSpinBox::down-button:hover { background: $hover; }
QAbstractSpinBox::up-arrow { image: url($controls/plus-$tone.svg); width: 14px; height: 14px; }
QAbstractSpinBox::down-arrow { image: url($controls/minus-$tone.svg); width: 14px; height: 14px; }
QAbstractSpinBox::up-arrow:disabled, QAbstractSpinBox::up-arrow:off {
  image: url($controls/plus-off-$tone.svg); }
QAbstractSpinBox::down-arrow:disabled, QAbstractSpinBox::down-arrow:off {
  image: url($controls/minus-off-$tone.svg); }
QComboBox { padding-right: 24px; }
QComboBox::drop-down { subcontrol-origin: border; subcontrol-position: center right; width: 26px;
  border: none; }
QComboBox::down-arrow { image: url($controls/down-$tone.svg); width: 14px; height: 14px; }
QComboBox::down-arrow:disabled { image: url($controls/down-off-$tone.svg); }
QComboBox QAbstractItemView { background: $raised; color: $text; border: 1px solid $edge; padding: 4px;
  outline: none; selection-background-color: $accent_fill; selection-color: $accent_text; }
QComboBox QAbstractItemView::item { min-height: 28px; padding: 0 6px; }
"""

_LISTS = """
QAbstractScrollArea { background: transparent; border: none; }
QListView, QTreeView, QTableView { font-size: 13px; background: transparent; border: none; outline: none;
  selection-background-color: $accent_fill; selection-color: $text; gridline-color: $line; }
QListView::item, QTreeView::item { min-height: 28px; border-radius: 6px; padding: 2px 6px; }
QListView::item:hover, QTreeView::item:hover { background: $hover; }
QListView::item:selected, QTreeView::item:selected, QTableView::item:selected {
  background: $accent_fill; color: $text; }
QListView[look="cards"]::item { padding: 0; background: transparent; }
QListView:focus, QTreeView:focus, QTableView:focus { border: 2px solid $accent; border-radius: 8px; }
QHeaderView { background: transparent; }
QHeaderView::section { background: transparent; color: $muted; border: none; border-bottom: 1px solid $line;
  padding: 6px 8px; font-size: 12px; font-weight: 600; }
QTableView QTableCornerButton::section { background: $panel; border: none; }
QTabBar { qproperty-drawBase: 0; }
QTabBar::tab { background: transparent; color: $muted; padding: 7px 14px; border: 2px solid transparent;
  border-radius: 6px; font-weight: 600; }
QTabBar::tab:hover { color: $text; background: $hover; }
QTabBar::tab:selected { color: $text; background: $raised; border-color: $line; }
QTabBar:focus { outline: none; }
QTabBar::tab:focus { border-color: $accent; }
QTabWidget::pane { border: none; }
QMenuBar { background: $back; color: $text; border: none; padding: 2px 6px; }
QMenuBar::item { background: transparent; padding: 6px 10px; border-radius: 6px; }
QMenuBar::item:selected, QMenuBar::item:pressed { background: $hover; }
QMenu { background: $raised; color: $text; border: 1px solid $edge; padding: 6px; }
QMenu::item { padding: 7px 28px 7px 10px; border-radius: 6px; margin: 0 2px; }
QMenu::icon { padding-left: 8px; }
QMenu::item:selected { background: $accent_fill; color: $accent_text; }
QMenu::item:disabled { color: $faint; background: transparent; }
QMenu::separator { height: 1px; background: $line; margin: 6px 8px; }
QMenu::indicator { width: 16px; height: 16px; margin-left: 8px; }
QMenu::indicator:non-exclusive:checked, QMenu::indicator:exclusive:checked { background: $accent;
  border-radius: 4px; image: url($controls/check-$tone.svg); }
QMenu::right-arrow { image: url($controls/right-$tone.svg); width: 14px; height: 14px; }
"""

_REST = """
QScrollBar { background: transparent; border: none; }
QScrollBar:vertical { width: 12px; margin: 0; }
QScrollBar:horizontal { height: 12px; margin: 0; }
QScrollBar::handle { background: $edge; margin: 3px; border-radius: 3px; }
QScrollBar::handle:vertical { min-height: 36px; }
QScrollBar::handle:horizontal { min-width: 36px; }
QScrollBar::handle:hover { background: $muted; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QAbstractScrollArea::corner { background: transparent; }
QProgressBar { background: $line; border: none; border-radius: 3px; min-height: 6px; max-height: 6px; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }
QSlider { min-height: 24px; }
QSlider::groove:horizontal { height: 4px; background: $line; border-radius: 2px; }
QSlider::sub-page:horizontal { background: $accent; border-radius: 2px; }
QSlider::handle:horizontal { background: $raised; border: 2px solid $accent; width: 14px; height: 14px;
  margin: -7px 0; border-radius: 9px; }
QSlider::handle:horizontal:hover { background: $accent_fill; }
QSlider:focus { border: 2px solid $accent; border-radius: 6px; }
QGroupBox { border: 1px solid $line; border-radius: 8px; margin-top: 10px; padding: 12px; font-weight: 600; }
QGroupBox::title { subcontrol-origin: margin; left: 12px; padding: 0 4px; }
QToolBar { background: transparent; border: none; spacing: 6px; padding: 4px; }
QToolBar::separator { background: $line; width: 1px; margin: 6px 4px; }
"""
