"""Every action of the window as data: its name, words, key, icon and menu."""

from dataclasses import dataclass
from typing import Literal

from PySide6.QtGui import QKeySequence

Menu = Literal["File", "Edit", "Piece", "Sheet", "View", "Help"]
Key = QKeySequence.StandardKey | str | None


@dataclass(frozen=True, slots=True)
class ActionSpec:
    """One action. `text` holds the mnemonic; `does` is the tool tip's sentence without its key.

    `key` is a standard key where the desktops agree on one; a second key may follow in `also`.
    """

    name: str
    menu: Menu
    text: str
    does: str
    key: Key = None
    icon: str | None = None
    also: str | None = None
    checkable: bool = False
    begins_group: bool = False


_Std = QKeySequence.StandardKey

ACTIONS: tuple[ActionSpec, ...] = (
    ActionSpec("new", "File", "&New job", "Start an empty job", _Std.New, "new"),
    ActionSpec("open", "File", "&Open…", "Open a job from a file", _Std.Open, "open"),
    ActionSpec("open_sample", "File", "Open the sample &job",
               "Open the moth survey night, to try things on", None, "lantern"),
    ActionSpec("save", "File", "&Save", "Save the job", _Std.Save, "save", begins_group=True),
    ActionSpec("save_as", "File", "Save &as…", "Save the job to another file", _Std.SaveAs,
               also="Ctrl+Shift+S"),
    ActionSpec("add_art", "File", "Add a&rt…", "Add SVG, PDF, PNG or JPEG files to the job", "Ctrl+Shift+A",
               "add-art", begins_group=True),
    ActionSpec("add_lettering", "File", "Add &lettering…", "Make art from words and a font", "Ctrl+Shift+L",
               "lettering"),
    ActionSpec("add_shape", "File", "Add s&hape…", "Make a star, a moon, a badge or another stock shape",
               "Ctrl+Shift+H", "shape"),
    ActionSpec("add_names", "File", "Na&mes from a list…", "Make a piece of lettering for each name",
               "Ctrl+Shift+M", "names"),
    ActionSpec("proof", "File", "Layout &proof…", "Make the picture that the customer approves", "Ctrl+E",
               "proof"),
    ActionSpec("settings", "File", "Se&ttings…", "Choose units, theme and motion", _Std.Preferences,
               "settings", also="Ctrl+,", begins_group=True),
    ActionSpec("quit", "File", "&Quit", "Close the program", _Std.Quit, "quit", also="Ctrl+Q",
               begins_group=True),
    ActionSpec("undo", "Edit", "&Undo", "Take back the last change", _Std.Undo, "undo"),
    ActionSpec("redo", "Edit", "&Redo", "Do again what was taken back", _Std.Redo, "redo",
               also="Ctrl+Shift+Z"),
    ActionSpec("cut", "Edit", "Cu&t", "Take the chosen pieces off the sheet, to paste them", _Std.Cut,
               "cut", begins_group=True),
    ActionSpec("copy", "Edit", "&Copy", "Copy the chosen pieces", _Std.Copy, "copy"),
    ActionSpec("paste", "Edit", "&Paste", "Paste pieces, a picture, an SVG or files", _Std.Paste, "paste"),
    ActionSpec("duplicate", "Edit", "&Duplicate", "Lay a second of each chosen piece", "Ctrl+D",
               "duplicate"),
    ActionSpec("delete", "Edit", "De&lete",
               "Take the chosen pieces off the sheet, or the piece out of the job", _Std.Delete, "delete",
               also="Backspace"),
    ActionSpec("select_all", "Edit", "Select &all", "Choose everything that lies on the sheets",
               _Std.SelectAll, "select-all", begins_group=True),
    ActionSpec("select_none", "Edit", "Select &nothing", "Choose nothing", "Escape"),
    ActionSpec("turn_right", "Piece", "Turn &right", "Turn the chosen pieces a quarter clockwise", "R",
               "turn-right"),
    ActionSpec("turn_left", "Piece", "Turn &left", "Turn the chosen pieces a quarter back", "Shift+R",
               "turn-left"),
    ActionSpec("lock", "Piece", "Loc&k", "Keep the chosen pieces where they are, or free them", "L", "lock",
               checkable=True),
    ActionSpec("change_made", "Piece", "&Change lettering or shape…",
               "Change the words or figures of the chosen piece in place", "F2", "rename", begins_group=True),
    ActionSpec("ink", "Piece", "&Ink and repairs", "Choose which colours print, and repair the art",
               "Ctrl+I"),
    ActionSpec("autopack", "Sheet", "&Autopack", "Fill the sheets: the order first, then the fillers",
               "Ctrl+Return", "autopack"),
    ActionSpec("shorten", "Sheet", "S&hortest sheet",
               "Rearrange the sheet in view, and what is still ordered, on as little film as possible",
               "Ctrl+Shift+Return"),
    ActionSpec("pack_in_holes", "Sheet", "Use holes of &rings",
               "Let autopack lay pieces into the holes of others", checkable=True, begins_group=True),
    ActionSpec("pack_straight_cuts", "Sheet", "Straight &cuts only",
               "Let autopack lay so that cuts from edge to edge free every piece", checkable=True),
    ActionSpec("pack_any_angle", "Sheet", "An&y angle",
               "Let autopack also turn pieces by less than a quarter, which takes longer", checkable=True),
    ActionSpec("add_sheet", "Sheet", "Add &sheet", "Add an empty sheet", "Ctrl+Shift+N", "sheet-add",
               begins_group=True),
    ActionSpec("remove_sheet", "Sheet", "Re&move sheet", "Remove the sheet in view and what lies on it",
               None, "sheet-remove"),
    ActionSpec("snap", "Sheet", "S&nap", "Let pieces catch on edges, middles and the gap", "S", "snap",
               checkable=True, begins_group=True),
    ActionSpec("light", "Sheet", "&Light and promise…",
               "Say how the prints are charged, where they are seen and what is promised", "Ctrl+L", "light",
               begins_group=True),
    ActionSpec("zoom_in", "View", "Zoom &in", "See the sheets larger", _Std.ZoomIn, "zoom-in",
               also="Ctrl+="),
    ActionSpec("zoom_out", "View", "Zoom &out", "See the sheets smaller", _Std.ZoomOut, "zoom-out"),
    ActionSpec("zoom_fit", "View", "Zoom to &fit", "See all sheets", "F", "zoom-fit"),
    ActionSpec("view_carrier", "View", "Carri&er", "See the sheets as they come: pale ink on film", "C",
               "carrier", checkable=True, begins_group=True),
    ActionSpec("view_garment", "View", "&Garment", "See the prints by day on the garment colour", "G",
               "garment", checkable=True),
    ActionSpec("view_dark", "View", "Dar&k", "See the prints after lights-out", "D", "dark",
               checkable=True),
    ActionSpec("cut_lines", "View", "Cut li&nes", "See the cuts that part the sheets, in their order", "X",
               "cut-lines", checkable=True),
    ActionSpec("station_art", "View", "&Art", "Go to the art and the pieces", "Ctrl+1", "art",
               begins_group=True),
    ActionSpec("station_sheets", "View", "&Sheets", "Go to the sheets", "Ctrl+2", "sheets"),
    ActionSpec("station_findings", "View", "Fin&dings", "Go to what is to be fixed", "Ctrl+3", "findings"),
    ActionSpec("station_plan", "View", "&Plan", "Go to the run plan", "Ctrl+4", "plan"),
    ActionSpec("station_handoff", "View", "&Hand-off", "Go to the proof and the files", "Ctrl+5",
               "hand-off"),
    ActionSpec("left_panel", "View", "&Left panel", "Show or hide the art and pieces", "F9", "panel-left",
               checkable=True, begins_group=True),
    ActionSpec("right_panel", "View", "&Right panel", "Show or hide the chosen piece", "F10", "panel-right",
               checkable=True),
    ActionSpec("lights_out", "View", "Lights-o&ut strip", "Show or hide how far each piece is seen", "F8",
               "strip", checkable=True),
    ActionSpec("inches", "View", "In in&ches", "Show lengths in inches; in millimetres when off", "U",
               "units", checkable=True, begins_group=True),
    ActionSpec("next_theme", "View", "Dark or ligh&t", "Change between the dark and the light window",
               "Ctrl+T", "theme"),
    ActionSpec("keys", "Help", "&Keys", "See every key", _Std.HelpContents, "keys", also="Ctrl+?"),
    ActionSpec("about", "Help", "&About Duskwright", "See the version, the licences and the cautions", None,
               "help"),
)  # fmt: skip
