"""What repairs do to real art: `python -m tests.bench.mend DIR… [--limit N] [--seed S] [--width-in W]`.

Every SVG under the folders (or a seeded sample of N) is read and checked at the width, and each fix of each
finding is done by itself and checked again. Counted for each kind of repair: results that are valid, findings
that are gone, those that are left and told of in the art's notes, and those left in silence. Prints one JSON
document; `silent` and `invalid` name the files.
"""

import argparse
import json
import random
import time
from collections import Counter
from pathlib import Path

from layout_core.art.artwork import Artwork
from layout_core.art.intake import read_art
from layout_core.art.repair import Repair, repaired, width_after_mm
from layout_core.checks.art import check_artwork
from layout_core.checks.fixes import fixes_for
from layout_core.errors import ArtError, RepairError
from layout_core.job.limits import PrintLimits, load_limits
from layout_core.units import mm

_TELLS = (" left", "no room")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--limit", type=int, default=0, help="sample this many files")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--width-in", type=float, default=3.5)
    options = parser.parse_args()
    files = sorted(path for folder in options.folders for path in folder.rglob("*.svg") if path.is_file())
    if options.limit and options.limit < len(files):
        files = sorted(random.Random(options.seed).sample(files, options.limit))
    counts: Counter[str] = Counter()
    silent: list[str] = []
    invalid: list[str] = []
    slowest = (0.0, "")
    limits = load_limits()
    for path in files:
        try:
            artwork = read_art(path)
        except ArtError:
            counts["unreadable"] += 1
            continue
        for rule, repair in _repairs(artwork, mm(options.width_in), limits):
            began_s = time.process_time()
            outcome, is_valid = _outcome(artwork, rule, repair, mm(options.width_in), limits)
            slowest = max(slowest, (round(time.process_time() - began_s, 2), f"{path.name} {repair.kind}"))
            counts[f"{repair.kind} {outcome}"] += 1
            name = f"{path.name} {rule} {repair.kind}"
            silent += [name] if outcome == "silent" else []
            invalid += [] if is_valid else [name]
    print(json.dumps({"bench": "mend", "files": len(files), **dict(sorted(counts.items())),
                      "silent": silent, "invalid": invalid, "slowest": slowest}, indent=1))  # fmt: skip


def _repairs(artwork: Artwork, width_mm: float, limits: PrintLimits) -> list[tuple[str, Repair]]:
    """Each rule that finds fault with the art, with each repair it offers, once."""
    report = check_artwork(artwork, width_mm, limits)
    found = {
        (finding.rule, fix.repair): None
        for finding in report.findings
        for fix in fixes_for(finding, artwork, report, limits)
    }
    return list(found)


def _outcome(
    artwork: Artwork, rule: str, repair: Repair, width_mm: float, limits: PrintLimits
) -> tuple[str, bool]:
    try:
        done = repaired(artwork, [repair])
    except RepairError:
        return "refused", True
    after = check_artwork(done, width_after_mm(artwork, done, width_mm), limits)
    if rule not in [finding.rule for finding in after.findings]:
        return "gone", done.outline.is_valid
    told = " ".join(done.notes[len(artwork.notes) :])
    is_told = any(word in told for word in _TELLS)
    return "left and told" if is_told else "silent", done.outline.is_valid


if __name__ == "__main__":
    main()
