"""Gives the program broken files for a while and tells what got through; prints one JSON document.

Run as `python -m tests.hostile.fuzz --seconds S --kind bytes|structure|job|toml|csv [--seeds DIR]`.
`escapes` are errors that are not the program's own, accepted files that do not hold together further on,
other verdicts at a second look, and deaths of the program itself; `hangs` gave no verdict within 30 s of
computing. `worker_deaths` and `worker_too_slow` were told to the person in one sentence, and work went on.
Of each sort of fault the first file is made as small as it gets and kept (in tests/hostile/found unless told
otherwise), where a test replays it.
"""

import argparse
import hashlib
import json
import queue
import random
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from layout_core.art.pipe import BrokenFrame, Header, read_frame, write_frame
from tests.hostile.job_mutations import at_every_byte, lied
from tests.hostile.mutations import LIST_MUTATORS, TABLE_MUTATORS, mutated
from tests.hostile.oracle import Verdict
from tests.hostile.seeds import KINDS, Seed, seeds_of
from tests.hostile.shrink import MOST_TRIES, smallest
from tests.hostile.structure import restructured

FOUND = Path(__file__).parent / "found"
SLOW_S = 5.0
_SILENCE_S = 600.0
"""How long the examinee may say nothing, by the clock, on a machine with much else to do."""
_THOROUGH = 4
"""Every so manieth file is read twice, and used further on where it was accepted."""
_SLOW_TRIES = 12


class Examiner:
    """Asks the examinee for verdicts; starts it anew when it has died or hangs."""

    def __init__(self, command: Sequence[str] = (sys.executable, "-m", "tests.hostile.examinee")) -> None:
        self._command = command
        self._process: subprocess.Popen[bytes] | None = None

    def verdict(self, name: str, data: bytes, *, is_thorough: bool, seconds: float = _SILENCE_S) -> Verdict:
        """What the examinee says; an escape when it died, a hang when it said nothing in time."""
        answers: queue.SimpleQueue[Header | None] = queue.SimpleQueue()
        process = self._ready()
        talk = threading.Thread(target=_talk, args=(process, name, data, is_thorough, answers), daemon=True)
        talk.start()
        try:
            answer = answers.get(timeout=seconds)
        except queue.Empty:
            self.close()
            return Verdict("hang", "no verdict", seconds)
        if answer is None:
            self.close()
            return Verdict("escape", "the process that read it died")
        return Verdict(str(answer["kind"]), str(answer["words"]), float(answer["seconds"]))

    def close(self) -> None:
        if self._process is None:
            return
        self._process.kill()
        self._process.communicate()
        self._process = None

    def _ready(self) -> subprocess.Popen[bytes]:
        if self._process is None:
            self._process = subprocess.Popen(
                self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
            )
            assert self._process.stdout is not None
            read_frame(self._process.stdout)
        return self._process


def _talk(
    process: subprocess.Popen[bytes], name: str, data: bytes, is_thorough: bool,
    answers: "queue.SimpleQueue[Header | None]",
) -> None:  # fmt: skip
    try:
        assert process.stdin is not None
        assert process.stdout is not None
        write_frame(process.stdin, {"name": name, "is_thorough": is_thorough}, [data])
        answers.put(read_frame(process.stdout)[0])
    except (BrokenFrame, OSError, ValueError):
        answers.put(None)


def inputs(kind: str, chance: random.Random, seeds: Sequence[Seed]) -> Iterator[Seed]:
    """Broken files of the kind without end; the same stream of chance gives the same files."""
    others = [data for _, data in seeds]
    if kind == "job":
        name, data = min(seeds, key=lambda seed: len(seed[1]))
        yield from ((name, broken) for broken in at_every_byte(data))
    while True:
        name, data = chance.choice(seeds)
        if kind == "structure":
            yield name, restructured(chance, data, others)
        elif kind == "job":
            yield name, lied(chance, data, others)
        else:
            mutators = {"toml": TABLE_MUTATORS, "csv": LIST_MUTATORS}.get(kind)
            yield name, mutated(chance, data, others, *(() if mutators is None else (mutators,)))


class Campaign:
    """One run of the fuzzer: what it counted, and what it keeps."""

    def __init__(self, examiner: Examiner, keep: Path) -> None:
        self.verdicts: Counter[str] = Counter()
        self.slow = 0
        self.sorts: Counter[str] = Counter()
        self._examiner = examiner
        self._keep = keep

    def examine(self, name: str, data: bytes, *, is_thorough: bool) -> None:
        verdict = self._examiner.verdict(name, data, is_thorough=is_thorough)
        self.verdicts[verdict.kind] += 1
        self.slow += verdict.seconds > SLOW_S
        if verdict.kind in ("good", "refused"):
            return
        self.sorts[verdict.words] += 1
        if self.sorts[verdict.words] == 1:
            self._put_by(name, data, verdict, is_thorough=is_thorough)

    def _put_by(self, name: str, data: bytes, verdict: Verdict, *, is_thorough: bool) -> None:
        def is_bad(shorter: bytes) -> bool:
            again = self._examiner.verdict(name, shorter, is_thorough=is_thorough)
            return (again.kind, again.words) == (verdict.kind, verdict.words)

        self._keep.mkdir(parents=True, exist_ok=True)
        place = self._keep / f"{hashlib.sha256(data).hexdigest()[:8]}-{name}"
        place.write_bytes(data)  # kept as it is first: making it small may take long
        print(
            f"{verdict.kind}: {verdict.words} ({place.name}, {verdict.seconds:.1f} s)",
            file=sys.stderr,
            flush=True,
        )
        place.write_bytes(smallest(data, is_bad, _SLOW_TRIES if verdict.seconds > SLOW_S else MOST_TRIES))


def fuzzed(kind: str, seconds: float, seeds: Sequence[Seed], keep: Path, seed: int) -> dict[str, object]:
    """Run for so long and give the figures; what was slow or wrong goes to standard error as it comes."""
    examiner = Examiner()
    campaign = Campaign(examiner, keep)
    began_s = time.monotonic()
    for number, (name, data) in enumerate(inputs(kind, random.Random(seed), seeds)):
        if time.monotonic() - began_s >= seconds:
            break
        campaign.examine(name, data, is_thorough=number % _THOROUGH == 0)
    examiner.close()
    spent_s = time.monotonic() - began_s
    count = sum(campaign.verdicts.values())
    print(dict(campaign.verdicts), file=sys.stderr)
    return {
        "bench": "fuzz",
        "kind": kind,
        "inputs": count,
        "escapes": campaign.verdicts["escape"],
        "hangs": campaign.verdicts["hang"],
        "per_s": round(count / spent_s, 1),
        "worker_deaths": campaign.sorts["WorkerDied"],
        "worker_too_slow": campaign.sorts["WorkerTooSlow"],
        "over_5_s": campaign.slow,
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--kind", choices=KINDS, required=True)
    parser.add_argument("--seeds", type=Path, help="a folder with more files to break")
    parser.add_argument("--keep", type=Path, default=FOUND)
    parser.add_argument("--seed", type=int, default=1, help="of the chance: the same gives the same files")
    wanted = parser.parse_args()
    seeds = seeds_of(wanted.kind, wanted.seeds)
    print(json.dumps(fuzzed(wanted.kind, wanted.seconds, seeds, wanted.keep, wanted.seed)), flush=True)


if __name__ == "__main__":
    main()
