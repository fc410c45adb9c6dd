"""Where this system keeps its fonts, and where the bundled ones lie."""

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from layout_core.user_folders import config_folder


@dataclass(frozen=True, slots=True)
class BundledFont:
    """One face that comes along, under the SIL Open Font License; `suits` says what it is like."""

    package: str
    file_name: str
    suits: str

    @property
    def path(self) -> Path:
        return Path(str(files(self.package) / "files" / self.file_name))


BUNDLED = (
    BundledFont("font_fredoka_one", "FredokaOne-Regular.ttf", "heavy, rounded"),
    BundledFont("font_rhd", "RedHatDisplay-Black.ttf", "heavy, wide"),
    BundledFont("font_lato", "Lato-Black.ttf", "heavy, soft corners"),
    BundledFont("font_manrope", "Manrope-ExtraBold.ttf", "bold, open; Greek and Cyrillic too"),
    BundledFont("font_hanken_grotesk", "HankenGrotesk-Bold.otf", "bold, plain"),
    BundledFont("font_fjallaone", "FjallaOne-Regular.ttf", "condensed"),
)


def own_folder() -> Path:
    """The folder for the fonts that the shop adds to the program."""
    return config_folder() / "fonts"


def font_folders(
    platform: str = sys.platform, environment: Mapping[str, str] = os.environ, home: Path | None = None
) -> tuple[Path, ...]:
    """The folders to look for installed fonts in, the shop's own first; they need not exist.

    Source: freedesktop.org, XDG Base Directory Specification 0.8 (data folders); Apple and Microsoft's font
    folders from memory.
    """
    home = Path.home() if home is None else home
    own = own_folder()
    if platform == "darwin":
        return own, home / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts")
    if platform == "win32":
        local = environment.get("LOCALAPPDATA", str(home / "AppData/Local"))
        windows = environment.get("WINDIR", r"C:\Windows")
        return own, Path(local) / "Microsoft/Windows/Fonts", Path(windows) / "Fonts"
    data_home = environment.get("XDG_DATA_HOME") or str(home / ".local/share")
    data_folders = environment.get("XDG_DATA_DIRS") or "/usr/local/share:/usr/share"
    shared = (Path(folder) / "fonts" for folder in data_folders.split(":") if folder)
    return own, Path(data_home) / "fonts", home / ".fonts", *shared
