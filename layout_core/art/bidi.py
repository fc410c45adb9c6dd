"""The order in which a line of mixed left-to-right and right-to-left words is read: its runs, as seen.

Source: Unicode Standard Annex #9, revision 48 (Unicode 15.1), rules P2 to P3, W1 to W7, N0 to N2, I1 to I2
and L1 to L2 (from memory). The codes that embed, override and isolate are no letters and are taken out before
(`without_codes`), so rules X1 to X8 have nothing to do.
"""

import unicodedata
from dataclasses import dataclass
from itertools import groupby

CODES = frozenset(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A))))
_OPENING = "([{⟨⟦⟪〈《「『【〔"
_CLOSING = ")]}⟩⟧⟫〉》」』】〕"
_CLOSES = dict(zip(_OPENING, _CLOSING, strict=True))
_DEEPEST_BRACKETS = 63
_NEUTRAL = frozenset({"B", "S", "WS", "ON"})
_AS_RIGHT = frozenset({"R", "EN", "AN"})


@dataclass(frozen=True, slots=True)
class Run:
    """Characters start to end (exclusive) of the line that run one way; odd levels run right to left."""

    start: int
    end: int
    level: int

    @property
    def is_right_to_left(self) -> bool:
        return self.level % 2 == 1


def without_codes(text: str) -> str:
    """The text without the codes that embed, override or isolate a direction."""
    return "".join(sign for sign in text if sign not in CODES)


def runs_as_seen(line: str) -> tuple[Run, ...]:
    """The runs of one line from left to right as seen; characters inside a run stay in reading order."""
    levels = embedding_levels(line)
    runs: list[Run] = []
    for level, group in groupby(range(len(line)), key=levels.__getitem__):
        members = list(group)
        runs.append(Run(members[0], members[-1] + 1, level))
    for level in range(max(levels, default=0), 0, -1):  # rule L2
        runs = _turned(runs, level)
    return tuple(runs)


def _turned(runs: list[Run], least_level: int) -> list[Run]:
    """The runs with every stretch of that level or a higher one turned round."""
    turned: list[Run] = []
    stretch: list[Run] = []
    for run in runs:
        if run.level >= least_level:
            stretch.insert(0, run)
        else:
            turned += [*stretch, run]
            stretch = []
    return turned + stretch


def embedding_levels(line: str) -> list[int]:
    """The resolved level of each character of one line."""
    given = [unicodedata.bidirectional(sign) or "L" for sign in line]
    kept = [at for at, kind in enumerate(given) if kind != "BN"]
    base = _paragraph_level(given)
    types = _weak([given[at] for at in kept], base)
    types = _brackets([line[at] for at in kept], types, [given[at] for at in kept], base)
    types = _neutral(types, base)
    levels = [base] * len(line)
    for at, kind in zip(kept, types, strict=True):
        levels[at] = _implicit(kind, base)
    _follow_joiners(given, levels)
    for at in range(len(line) - 1, -1, -1):  # rule L1
        if given[at] not in ("WS", "S", "B", "BN"):
            break
        levels[at] = base
    return [base if given[at] in ("S", "B") else level for at, level in enumerate(levels)]


def _paragraph_level(types: list[str]) -> int:
    first = next((kind for kind in types if kind in ("L", "R", "AL")), "L")
    return 0 if first == "L" else 1


def _direction(level: int) -> str:
    return "R" if level % 2 else "L"


def _weak(types: list[str], base: int) -> list[str]:
    """Rules W1 to W7 on one level run whose both ends have the paragraph's direction."""
    types = list(types)
    start = _direction(base)
    before, strong = start, start
    for at, kind in enumerate(types):  # W1, W2, W3
        if kind == "NSM":
            types[at] = before
        before = types[at]
    for at, kind in enumerate(types):
        if kind in ("L", "R", "AL"):
            strong = kind
        elif kind == "EN" and strong == "AL":
            types[at] = "AN"
    types = ["R" if kind == "AL" else kind for kind in types]
    for at in range(1, len(types) - 1):  # W4
        left, kind, right = types[at - 1 : at + 2]
        if left == right and ((kind == "ES" and left == "EN") or (kind == "CS" and left in ("EN", "AN"))):
            types[at] = left
    _terminators(types)
    types = ["ON" if kind in ("ES", "ET", "CS") else kind for kind in types]  # W6
    strong = start
    for at, kind in enumerate(types):  # W7
        if kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            types[at] = "L"
    return types


def _terminators(types: list[str]) -> None:
    """Rule W5: a row of terminators beside a European number belongs to it."""
    at = 0
    while at < len(types):
        end = at
        while end < len(types) and types[end] == "ET":
            end += 1
        if end > at:
            beside = (types[at - 1] if at else "", types[end] if end < len(types) else "")
            if "EN" in beside:
                types[at:end] = ["EN"] * (end - at)
        at = max(end, at + 1)


def _brackets(signs: list[str], types: list[str], given: list[str], base: int) -> list[str]:
    """Rule N0: a pair of brackets takes the direction of what it holds, or of what stands before it."""
    types = list(types)
    own, other = _direction(base), _direction(base + 1)
    for opening, closing in _bracket_pairs(signs, types):
        inside = {_strong(kind) for kind in types[opening + 1 : closing]} - {""}
        if own in inside:
            chosen = own
        elif other in inside:
            earlier = (_strong(kind) for kind in reversed(types[:opening]))
            chosen = next((kind for kind in earlier if kind), own)
        else:
            continue
        for at in (opening, closing):
            types[at] = chosen
            while at + 1 < len(types) and given[at + 1] == "NSM":
                at += 1
                types[at] = chosen
    return types


def _bracket_pairs(signs: list[str], types: list[str]) -> list[tuple[int, int]]:
    """Definition BD16, in the order of the opening brackets."""
    pairs: list[tuple[int, int]] = []
    open_at: list[tuple[str, int]] = []
    for at, sign in enumerate(signs):
        if types[at] != "ON":
            continue
        if sign in _CLOSES:
            if len(open_at) == _DEEPEST_BRACKETS:
                return sorted(pairs)
            open_at.append((_CLOSES[sign], at))
        elif any(closing == sign for closing, _ in open_at):
            while open_at:
                closing, opening = open_at.pop()
                if closing == sign:
                    pairs.append((opening, at))
                    break
    return sorted(pairs)


def _strong(kind: str) -> str:
    return "R" if kind in _AS_RIGHT else "L" if kind == "L" else ""


def _neutral(types: list[str], base: int) -> list[str]:
    """Rules N1 and N2."""
    types = list(types)
    at = 0
    while at < len(types):
        end = at
        while end < len(types) and types[end] in _NEUTRAL:
            end += 1
        if end > at:
            left = _strong(types[at - 1]) if at else _direction(base)
            right = _strong(types[end]) if end < len(types) else _direction(base)
            types[at:end] = [left if left == right else _direction(base)] * (end - at)
        at = max(end, at + 1)
    return types


def _implicit(kind: str, base: int) -> int:
    """Rules I1 and I2."""
    if base % 2:
        return base if kind == "R" else base + 1
    return base + {"L": 0, "R": 1}.get(kind, 2)


def _follow_joiners(given: list[str], levels: list[int]) -> None:
    """A sign without width stays with the letter before it (section 5.2)."""
    for at in range(1, len(levels)):
        if given[at] == "BN":
            levels[at] = levels[at - 1]
