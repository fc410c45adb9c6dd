"""Runs a bench of the window: whole numbers from the command line, no display, a user folder of its own."""

import argparse
import json
import os
import tempfile
from collections.abc import Callable

from layout_core.user_folders import OVERRIDE


def print_figures(measure: Callable[..., dict[str, object]], description: str, **defaults: int) -> None:
    """Print what `measure` finds, as one JSON document; each default is an option of its name."""
    parser = argparse.ArgumentParser(description=description)
    for name, value in defaults.items():
        parser.add_argument(f"--{name}", type=int, default=value)
    asked = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        os.environ[OVERRIDE] = folder
        print(json.dumps(measure(**vars(asked))))
