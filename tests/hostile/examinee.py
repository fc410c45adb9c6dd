"""The process that reads one hostile file after another, so that the fuzzer outlives whatever they do to it.

Run as `python -m tests.hostile.examinee`; speaks frames on standard input and output.
"""

import os
import tempfile
from dataclasses import asdict
from pathlib import Path

from layout_core.art.pipe import BrokenFrame, read_frame, write_frame
from tests.hostile.oracle import Oracle


def main() -> None:
    requests, replies = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    with tempfile.TemporaryDirectory() as folder:
        oracle = Oracle(Path(folder))
        write_frame(replies, {"kind": "ready"})
        while True:
            try:
                header, (data,) = read_frame(requests)
            except BrokenFrame:
                break
            verdict = oracle.verdict(header["name"], data, is_thorough=header["is_thorough"])
            write_frame(replies, asdict(verdict))
        oracle.close()


if __name__ == "__main__":
    main()
