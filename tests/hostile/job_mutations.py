"""Turns a job file into one that lies: by bytes, in its record, in its outlines, in the zip's own headers."""

import hashlib
import io
import json
import random
import struct
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from typing import Any

from layout_core.job.archive import RECORD, packed
from tests.hostile.mutations import NUMBERS, WORDS, mutated

_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2**31, 2**63, 10**30, -0.0, 1e-300, 1e308, 0.1, "", "x", [], [[]], {},
    {"a": 1},
    *(word for word in WORDS), *NUMBERS,
)  # fmt: skip
_DIRECTORY, _LOCAL, _END = b"PK\1\2", b"PK\3\4", b"PK\5\6"


def at_every_byte(data: bytes) -> Iterator[bytes]:
    """The file with each of its bytes flipped, taken out, doubled, and with all after it cut off."""
    for at in range(len(data)):
        yield data[:at] + bytes([data[at] ^ 0x80]) + data[at + 1 :]
        yield data[:at] + data[at + 1 :]
        yield data[:at] + data[at : at + 1] + data[at:]
        yield data[:at]


def lied(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """The job with one kind of lie."""
    kind = chance.random()
    if kind < 0.2:
        return mutated(chance, data, others)
    if kind < 0.35:
        return _false_headers(chance, data)
    members = members_of(data)
    if kind < 0.45:
        _false_members(chance, members)
    elif kind < 0.6:
        _false_outline(chance, members)
    elif kind < 0.7:
        members[RECORD] = mutated(chance, members[RECORD], [members_of(chance.choice(others))[RECORD]])
    else:
        members[RECORD] = _false_record(chance, members[RECORD])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # a name that stands twice is meant
        return packed(members)


def members_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist() if name != "mimetype"}


def _false_record(chance: random.Random, text: bytes) -> bytes:
    record = json.loads(text)
    for _ in range(chance.randint(1, 3)):
        holder, key = chance.choice(list(_places(record)))
        deed = chance.randrange(6)
        if deed == 0:
            holder.pop(key)
        elif deed == 1 and isinstance(holder, list):
            holder.append(json.loads(json.dumps(holder[int(key)])))
        elif deed == 2 and isinstance(holder, dict):
            holder[chance.choice(("x", "", "format", "art_id", key + key))] = holder[key]
        elif deed == 3:
            other, at = chance.choice(list(_places(record)))
            holder[key] = json.loads(json.dumps(other[at]))
        elif isinstance(holder[key], int | float) and deed == 4:
            holder[key] = holder[key] * chance.choice((-1, 0, 0.5, 2, 1e6)) + chance.choice((0, 1, -1, 0.25))
        else:
            holder[key] = chance.choice(_VALUES)
        if not list(_places(record)):
            break
    return json.dumps(record).encode()


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every holder and key inside."""
    keys: Sequence[Any] = list(value) if isinstance(value, dict) else range(len(value))
    for key in keys:
        yield value, key
        if isinstance(value[key], dict | list):
            yield from _places(value[key])


def _false_outline(chance: random.Random, members: dict[str, bytes]) -> None:
    """Another outline under its right name, named in the record as well."""
    old = chance.choice([name for name in members if name.startswith("outline/")])
    data = members.pop(old)
    if chance.random() < 0.5:
        data = mutated(chance, data, [data])
    else:
        at = chance.choice([0, 1, 5, 9, 10, 14, 18, *range(22, max(23, len(data) - 8), 8)])
        data = data[:at] + chance.choice(_fields()) + data[at + 8 :]
    digest = hashlib.sha256(data).hexdigest()
    members[f"outline/{digest}.wkb"] = data
    members[RECORD] = members[RECORD].replace(old[8:-4].encode(), digest.encode())


def _fields() -> list[bytes]:
    numbers = (0.0, -0.0, -1.0, 1e-9, 1e6, 1e7, 1e308, float("nan"), float("inf"), 5e-324)
    counts = (0, 1, 2**16, 2**31 - 1, 2**32 - 1)
    return [struct.pack("<d", number) for number in numbers] + [struct.pack("<II", n, n) for n in counts]


def _false_members(chance: random.Random, members: dict[str, bytes]) -> None:
    name = chance.choice(sorted(members))
    data = members.pop(name)
    digest = hashlib.sha256(data).hexdigest()
    names = (
        name.upper(), f"../{name}", f"/{name}", name.replace("/", "\\"), f"{name}\0.svg", f"{name}/", "",
        f"art/{digest}.exe", f"art/{digest}.png", f"outline/{digest}.wkb", "CON", "job.json", "art/",
        "./job.json",
    )  # fmt: skip
    members[chance.choice(names)] = data
    if chance.random() < 0.3:
        members[name] = data


def _false_headers(chance: random.Random, data: bytes) -> bytes:
    """One field of one header of the zip set to something else; offsets by APPNOTE 6.3.9 section 4.3."""
    signature, offsets = chance.choice(
        ((_DIRECTORY, (4, 6, 8, 10, 16, 20, 24, 28, 30, 32, 34, 38, 42)), (_LOCAL, (4, 6, 8, 14, 18, 22, 26,
        28)),
         (_END, (4, 6, 8, 10, 12, 16, 20)))
    )  # fmt: skip
    places = [at for at in range(len(data)) if data.startswith(signature, at)]
    at = chance.choice(places) + chance.choice(offsets)
    value = chance.choice((0, 1, 0xFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF, 50, 1000, 2**30))
    changed = struct.pack("<I", value)[: chance.choice((2, 4))]
    return data[:at] + changed + data[at + len(changed) :]
