"""Where the user's own tables, settings and snapshots live on this system."""

import os
from pathlib import Path

import platformdirs

OVERRIDE = "DUSKWRIGHT_USER_DIR"
"""Environment variable that puts everything below one folder: for tests and for shops that share a drive."""


def config_folder() -> Path:
    """The folder of edited tables and settings; it need not exist yet."""
    override = os.environ.get(OVERRIDE)
    return (
        Path(override, "config") if override else platformdirs.user_config_path("duskwright", appauthor=False)
    )


def state_folder() -> Path:
    """The folder of snapshots and recent jobs; it need not exist yet."""
    override = os.environ.get(OVERRIDE)
    return (
        Path(override, "state") if override else platformdirs.user_state_path("duskwright", appauthor=False)
    )
