"""The choices a person makes about the program: typed, each with a default, kept in one JSON file."""

from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Literal, get_type_hints

import msgspec
from PySide6.QtCore import QLocale, QObject, Signal

from layout_core.errors import SaveError
from layout_core.files import write_whole
from layout_core.packing.engines import FillWish
from layout_core.user_folders import config_folder

ThemeChoice = Literal["system", "dark", "light"]
UnitChoice = Literal["in", "mm"]

FILE_NAME = "settings.json"
MOST_RECENT_JOBS = 12
LARGEST_FILE_BYTES = 1_000_000
LEAST_PACK_S, MOST_PACK_S = 1.0, 600.0


@dataclass(frozen=True, slots=True)
class Choices:
    """All settings; `window_geometry` and `splitters` (by widget name) are Qt's saved states in base64.

    Those that begin with `pack` say how autopack lays; `pack_seconds` is how long it searches.
    """

    unit: UnitChoice = "in"
    theme: ThemeChoice = "system"
    snapping: bool = True
    motion: bool = True
    window_geometry: str = ""
    splitters: dict[str, str] = field(default_factory=dict)
    recent_jobs: tuple[str, ...] = ()
    last_folder: str = ""
    pack_in_holes: bool = True
    pack_straight_cuts: bool = False
    pack_any_angle: bool = False
    pack_seconds: float = 6.0


class Settings(QObject):
    """Reads the choices once, tells of each change by `changed`, and writes it at once.

    A missing or broken file gives defaults, field by field, and never keeps the program from starting.
    A change that cannot be written counts until the program ends, and `not_saved` tells why.
    """

    changed = Signal()
    not_saved = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path = config_folder() / FILE_NAME
        self._choices = read_choices(self._path)

    @property
    def choices(self) -> Choices:
        return self._choices

    @property
    def unit(self) -> UnitChoice:
        return self._choices.unit

    @property
    def theme(self) -> ThemeChoice:
        return self._choices.theme

    @property
    def snapping(self) -> bool:
        return self._choices.snapping

    @property
    def motion(self) -> bool:
        return self._choices.motion

    @property
    def pack_seconds(self) -> float:
        """How long autopack searches with true outlines, as seconds of a common desktop core."""
        return min(max(self._choices.pack_seconds, LEAST_PACK_S), MOST_PACK_S)

    @property
    def pack_wish(self) -> FillWish:
        """What the shop wants of the layouts that autopack makes."""
        choices = self._choices
        return FillWish(choices.pack_in_holes, choices.pack_straight_cuts, choices.pack_any_angle)

    @property
    def recent_jobs(self) -> tuple[Path, ...]:
        """The jobs opened or saved last, newest first; some may be gone by now."""
        return tuple(Path(text) for text in self._choices.recent_jobs)

    def change(self, **changes: Any) -> None:
        """Set choices by name, e.g. `change(unit="mm")`; raises TypeError for a name that is none."""
        changed = replace(self._choices, **changes)
        if changed == self._choices:
            return
        self._choices = changed
        self._write()
        self.changed.emit()

    def remember_job(self, path: Path) -> None:
        """Put the job first in the recent list."""
        first = str(path.absolute())
        rest = (text for text in self._choices.recent_jobs if text != first)
        self.change(recent_jobs=(first, *rest)[:MOST_RECENT_JOBS], last_folder=str(path.absolute().parent))

    def forget_job(self, path: Path) -> None:
        """Take the job off the recent list."""
        gone = str(path.absolute())
        self.change(recent_jobs=tuple(text for text in self._choices.recent_jobs if text != gone))

    def _write(self) -> None:
        data = msgspec.json.format(msgspec.json.encode(asdict(self._choices)), indent=2)
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self._path, data)
        except SaveError as error:
            self.not_saved.emit(str(error))
        except OSError as error:
            self.not_saved.emit(
                f"{self._path.parent} cannot be made ({(error.strerror or 'unknown').lower()})"
            )


def read_choices(path: Path) -> Choices:
    """The choices in the file; whatever is missing, broken or of the wrong kind gets its default."""
    defaults = Choices(unit=_customary_unit())
    try:
        with path.open("rb") as file:
            stored = msgspec.json.decode(file.read(LARGEST_FILE_BYTES))
    except (OSError, msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        return defaults
    if not isinstance(stored, dict):
        return defaults
    kinds = get_type_hints(Choices)
    good: dict[str, Any] = {}
    for one in fields(Choices):
        try:
            good[one.name] = msgspec.convert(stored[one.name], kinds[one.name])
        except (KeyError, msgspec.ValidationError):
            continue
    return replace(defaults, **good)


def _customary_unit() -> UnitChoice:
    """What this country measures in, for the very first start; inches where the system names no country."""
    system = QLocale.system()
    is_metric = system.measurementSystem() == QLocale.MeasurementSystem.MetricSystem
    return "mm" if is_metric and system.language() != QLocale.Language.C else "in"
