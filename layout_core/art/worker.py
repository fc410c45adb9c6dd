"""The worker process: reads art files one after another under limits of memory and time."""

import faulthandler
import os
import sys
import time
from typing import IO

import shapely

from layout_core.art import caps
from layout_core.art.convert import convert
from layout_core.art.ink_frames import packed_layers, packed_map, unpacked_choice
from layout_core.art.ink_route import Asked
from layout_core.art.memory import limit_memory
from layout_core.art.pipe import BrokenFrame, Header, read_frame, write_frame
from layout_core.art.refusal import OverLimit, Refused

_GRACE_S = 2.0
_RECURSION = 8000
_LAST = {"is_last": True}


def main() -> None:
    """Serve frames from standard input until it ends. Standard output carries frames and nothing else."""
    requests = os.fdopen(os.dup(0), "rb")
    replies = os.fdopen(os.dup(1), "wb")
    sink = open(os.devnull, "r+b", buffering=0)  # noqa: SIM115  # lives as long as the process
    for number in (0, 1, 2):
        os.dup2(sink.fileno(), number)
    sys.setrecursionlimit(_RECURSION)
    limit_memory(caps.MEMORY_BYTES)
    write_frame(replies, {"kind": "ready"})
    while True:
        try:
            header, blobs = read_frame(requests)
        except BrokenFrame:
            return
        # A program that ends while a file is read must not leave this process running behind it.
        faulthandler.dump_traceback_later(float(header["seconds"]) + _GRACE_S, exit=True, file=sink)
        is_spent = _serve(header, blobs[0], replies)
        faulthandler.cancel_dump_traceback_later()
        if is_spent:
            return


def _serve(request: Header, data: bytes, replies: IO[bytes]) -> bool:
    """Answer one request; True when the process should not be used again."""

    stages: dict[str, float] = {}

    def progress(fraction: float, label: str) -> None:
        stages.setdefault(label, time.process_time() - began_s)
        write_frame(replies, {"kind": "progress", "fraction": fraction, "label": label})

    began_s = time.process_time()
    try:
        converted, plain = convert(
            data,
            progress,
            Asked(unpacked_choice(request.get("ink")), bool(request.get("wants_layers"))),
        )
    except Refused as refusal:
        kind = "limit" if isinstance(refusal, OverLimit) else "refused"
        write_frame(replies, {"kind": kind, "reason": str(refusal)})
        return False
    except MemoryError:
        write_frame(replies, {"kind": "limit", "reason": "needs more memory than one file may use", **_LAST})
        return True
    except RecursionError:
        write_frame(replies, {"kind": "limit", "reason": "nests its parts too deeply", **_LAST})
        return True
    except BaseException as error:  # a renderer's panic is no Exception
        write_frame(
            replies, {"kind": "refused", "reason": f"cannot be read ({type(error).__name__})", **_LAST}
        )
        return True
    header: Header = {
        "kind": "done",
        "suffix": converted.suffix,
        "size_known": converted.size_known,
        "route": converted.route,
        "ink_width_px": converted.ink_width_px,
        "notes": list(converted.notes),
        "ink_map": packed_map(converted.ink_map),
        "is_packed": plain is not data,
        "cpu_s": time.process_time() - began_s,
        "stages": stages,
    }
    source = plain if plain is not data else b""
    layers: list[bytes] = []
    if converted.layers is not None:
        header["layers"], layers = packed_layers(converted.layers)
    write_frame(replies, header, [shapely.to_wkb(converted.outline, byte_order=1), source, *layers])
    return False
