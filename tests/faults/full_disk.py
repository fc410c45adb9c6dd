"""Saves on a disk of 160 kB that is really full.

Run as `python -m tests.faults.full_disk FOLDER`; prints JSON.
"""

import json
import sys
from collections.abc import Callable
from pathlib import Path

from layout_core.errors import SaveError
from layout_core.files import write_whole
from tests.faults.saves import in_place

_OLD, _NEW = b"o" * 60_000, b"n" * 150_000


def outcome(folder: Path, writer: Callable[[Path, bytes], None]) -> dict[str, object]:
    target = folder / "night.duskjob"
    target.write_bytes(_OLD)
    try:
        writer(target, _NEW)
        reason = ""
    except (SaveError, OSError) as error:
        reason = str(error)
    found = target.read_bytes()
    names = sorted(path.name for path in folder.iterdir())
    target.unlink()
    return {"is_old": found == _OLD, "reason": reason, "names": names}


if __name__ == "__main__":
    place = Path(sys.argv[1])
    print(json.dumps({"whole": outcome(place, write_whole), "in place": outcome(place, in_place)}))
