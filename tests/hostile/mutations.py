"""Turns a sound file into an unsound one, by bytes, by lines or by cells; all from one stream of chance."""

import random
import re
from collections.abc import Callable, Sequence

Mutator = Callable[[random.Random, bytes, Sequence[bytes]], bytes]

NUMBERS = (
    "0", "-0", "-1", "1", "2", "1e-9", "1e-300", "0.0001", "999999.99", "1000000", "1000001", "-1000000",
    "1e39",
    "1e308", "1e309", "5e10", "2147483648", "4294967295", "9223372036854775808", "nan", "inf", "-inf", "1e",
    ".",
    "1_0", "0x10", "100%", "1em", "٣", "1" * 400,
)  # fmt: skip
WORDS = (
    "", " ", "\0", "\t", "\u202e", "\ufeff", "\ud7ff", "A" * 5_000, "../../x", "CON", "<b>", "&x;", "%s",
    "{}", "'", '"',
    "none", "null", "true", "url(#a)", "#", "#a", "data:", "\U0001f98b", "e\u0301" * 50,
)  # fmt: skip
_BYTES = (0, 1, 9, 10, 13, 32, 34, 38, 39, 44, 45, 46, 60, 62, 92, 127, 128, 194, 237, 254, 255)
_NUMBER = re.compile(rb"[-+]?\d*\.?\d+(?:[eE][-+]?\d+)?")


def _flip(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    changed = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    return bytes(changed)


def _set(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    at = chance.randrange(len(data))
    return data[:at] + bytes([chance.choice(_BYTES)]) + data[at + 1 :]


def _cut(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    start, end = _span(chance, data)
    return data[:start] + data[end:]


def _end(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    return data[: chance.randrange(len(data))]


def _repeat(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    start, end = _span(chance, data)
    return data[:start] + data[start:end] * chance.choice((2, 3, 20)) + data[end:]


def _splice(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    other = chance.choice(others)
    start, end = _span(chance, other)
    at = chance.randrange(len(data))
    return data[:at] + other[start:end] + data[at:]


def _number(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    found = list(_NUMBER.finditer(data))
    if not found:
        return _flip(chance, data, others)
    match = chance.choice(found)
    return data[: match.start()] + chance.choice(NUMBERS).encode() + data[match.end() :]


def _word(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    at = chance.randrange(len(data))
    return data[:at] + chance.choice(WORDS).encode() + data[at:]


def _line(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """Take out, double, move or empty one line, or take one from another file."""
    lines = data.split(b"\n")
    at = chance.randrange(len(lines))
    line = lines.pop(at)
    foreign = chance.choice(others).split(b"\n")
    put = chance.choice(
        ([], [line] * 2, [line], [b""], [chance.choice(foreign)], [line, chance.choice(foreign)])
    )
    where = chance.choice((at, chance.randrange(len(lines) + 1)))
    return b"\n".join([*lines[:where], *put, *lines[where:]])


_VALUES = (
    "[]", "[[]]", "{}", '""', '"x"', "'0.02 in'", '"-1 in"', '"1e6 mm"', '"1e400 mm"', "true", "1979-05-27",
    "07:32:00",
    "0", "-1", "1e308", "inf", "nan", "10000000000000000000000000", "[1, 2", '"', "'''", "{a = 1}",
    '["a", 1]',
    '"1 in or 2"', '"\\u0000"', "[" * 300 + "]" * 300, "0x" + "F" * 5_000,
    "[" * 3000, '"' + "9" * 5_000 + '"', "9" * 5_000,
    "0.1", "-0.0",
)  # fmt: skip


def _value(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """Give one key another value, or another key its value."""
    lines = data.split(b"\n")
    keys = [at for at, line in enumerate(lines) if b"=" in line and not line.lstrip().startswith(b"#")]
    if not keys:
        return _line(chance, data, others)
    at = chance.choice(keys)
    key, _, value = lines[at].partition(b"=")
    if chance.random() < 0.8:
        value = b" " + chance.choice(_VALUES).encode()
    else:
        key = chance.choice(
            (b"x ", b'"" ', b"a.b ", lines[chance.choice(keys)].partition(b"=")[0], key[:-3] + b" ")
        )
    lines[at] = key + b"=" + value
    return b"\n".join(lines)


_HEADERS = (
    "[a]",
    "[[a]]",
    "[a.b]",
    '["a b"]',
    "[",
    "[]",
    "[[sheet]]",
    "[tax]",
    "[piece]",
    "['']",
    "[x]\n[x]",
)


def _header(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    lines.insert(chance.randrange(len(lines)), chance.choice(_HEADERS).encode())
    return b"\n".join(lines)


_CELLS = (
    *NUMBERS, *WORDS, "name", "number", "copies", "design", "colour", "color", "S", "2XL", "YM", "4T", '"',
    '""', '"a',
    "a\nb", '"a\nb"', ",", ";", "\t", "\r", "=1+1", "@x", "-", "–", "1 000", "1,000",
)  # fmt: skip


def _cell(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """Put something else into one cell, or one more cell into the row."""
    cuts = [match.start() for match in re.finditer(rb"[,;\t\n]", data)]
    if len(cuts) < 2:
        return _word(chance, data, others)
    at = chance.randrange(len(cuts) - 1)
    end = cuts[at + 1] if chance.random() < 0.8 else cuts[at] + 1
    return data[: cuts[at] + 1] + chance.choice(_CELLS).encode() + data[end:]


def _span(chance: random.Random, data: bytes) -> tuple[int, int]:
    start = chance.randrange(len(data))
    return start, min(len(data), start + chance.choice((1, 2, 4, 16, 64, 256)))


BYTE_MUTATORS: tuple[Mutator, ...] = (_flip, _set, _cut, _end, _repeat, _splice, _number, _word)
TABLE_MUTATORS: tuple[Mutator, ...] = (*BYTE_MUTATORS, _line, _line, _value, _value, _value, _value, _header)
LIST_MUTATORS: tuple[Mutator, ...] = (*BYTE_MUTATORS, _line, _line, _cell, _cell, _cell, _cell)


def mutated(
    chance: random.Random, data: bytes, others: Sequence[bytes], mutators: Sequence[Mutator] = BYTE_MUTATORS
) -> bytes:
    """The data after one to four mutations; `others` are what pieces may be taken from."""
    for _ in range(chance.choice((1, 1, 1, 2, 3, 4))):
        if data:
            data = chance.choice(mutators)(chance, data, others)
    return data
