"""Turns a sound drawing into another well-formed one: numbers, attributes and subtrees change places."""

import copy
import random
import re
from collections.abc import Callable, Sequence

from lxml import etree

from tests.hostile.mutations import NUMBERS, WORDS

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"[-+]?\d*\.?\d+(?:[eE][-+]?\d+)?")
_LARGEST = 60_000
"""Drawings that grew beyond this many bytes start again from a seed."""
_TAGS = (
    "g", "rect", "path", "circle", "use", "symbol", "text", "tspan", "textPath", "svg", "clipPath", "mask",
    "pattern",
    "marker", "filter", "switch", "a", "defs", "image", "style", "linearGradient", "feGaussianBlur",
    "polyline",
)  # fmt: skip
_SETTINGS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("transform", ("scale(0)", "scale(1e-9)", "scale(1000)", "matrix(0 0 0 0 0 0)", "rotate(1e9)",
    "skewX(90)",
                   "scale(-1 1)", "translate(1e6)", "matrix(1 2 3)",
                   "rotate(45 1e5 1e5) scale(1e3) scale(1e3)")),
    ("d", ("", "M", "M0 0", "M0 0L", "M0 0A1e6 1 0 0 1 9 9", "M0 0A1 1e-9 0 1 1 9 9", "M0 0h1e6v1e6z",
    "m9 9z" * 40,
           "M0 0C1 1 1e6 1e6 9 9Z", "M1e5 1e5A5e5 5e5 0 1 1 0 0Q9 9 1 1T5 5", "M0 0L9 9 9 0ZM9 9L0 0")),
    ("viewBox", ("0 0 0 0", "0 0 1e6 1e6", "0 0 1e-6 1e-6", "-9 -9 -9 -9", "0 0 1 1e6", "1 2 3",
    "9e5 9e5 1 1")),
    ("width", ("0", "1e6", "1e-9", "100%", "-5", "1e4in")), ("height", ("0", "1e6", "0.0001", "1%")),
    ("stroke", ("#000", "none", "currentColor", "url(#g)", "inherit")),
    ("stroke-width", ("0", "1e-9", "1e6", "50%", "-1", "300")),
    ("stroke-dasharray", ("0.0001", "0", "0 0", "1 -1", "1e6", "1e-9 1e6", "9 0.001", "5%", ".05")),
    ("stroke-dashoffset", ("1e6", "-1e6", "nan")), ("stroke-miterlimit", ("0", "1e6")),
    ("stroke-linejoin", ("round", "bevel", "arcs")), ("stroke-linecap", ("round", "square")),
    ("vector-effect", ("non-scaling-stroke",)), ("pathLength", ("1e-9", "0", "1e6")),
    ("fill", ("none", "url(#g)", "url(#p)", "#ffffff80", "white", "context-fill", "rgb(1e9,0,0)")),
    ("fill-rule", ("evenodd",)), ("opacity", ("0", ".5", "1e-9", "-1")), ("display", ("none",)),
    ("visibility", ("hidden",)), ("clip-path", ("url(#c)", "url(#a)", "none")), ("mask", ("url(#m)",
    "url(#a)")),
    ("filter", ("url(#f)", "blur(1e5px)", "none")), ("mix-blend-mode", ("multiply",)), ("isolation",
    ("isolate",)),
    ("href", ("#a", "#s", "#g", "#t", "#nobody", "", "data:image/png;base64,AAAA")),
    ("marker-mid", ("url(#k)",)), ("orient", ("1e6", "auto-start-reverse")), ("font-size", ("0", "1e6",
    "1e-6", "9ex")),
    ("font-family", ("nobody", "", "Manrope")), ("writing-mode", ("tb",)), ("letter-spacing", ("1e5",
    "-1e5")),
    ("textLength", ("0", "1e6")), ("startOffset", ("1e6", "-50%")), ("rotate", ("45 90",)), ("dx", ("1e6 1",
    "9 9 9")),
    ("patternUnits", ("objectBoundingBox",)), ("patternTransform", ("scale(1e-4)", "scale(0)")),
    ("gradientUnits", ("userSpaceOnUse",)), ("spreadMethod", ("reflect",)), ("x2", ("1e6", "0")), ("r",
    ("0", "1e6")),
    ("rx", ("1e6", "-1")), ("numOctaves", ("9", "0")), ("baseFrequency", ("1e5", "0")), ("stdDeviation",
    ("1e5", "-1")),
    ("preserveAspectRatio", ("none", "xMaxYMax slice")), ("systemLanguage", ("en", "xx")), ("overflow",
    ("visible",)),
    ("style", ("fill:none;stroke:red;stroke-width:9", "stroke-dasharray:.0001", "all:unset", "font:9px x",
    "((((")),
    ("id", ("a", "g", "s", "k", "")), ("class", ("a", "b a")), ("paint-order", ("stroke",)), ("points", ("",
    "1", "0 0 9")),
)  # fmt: skip

_Mutator = Callable[[random.Random, etree._Element, Sequence[etree._Element]], None]


def _any(chance: random.Random, root: etree._Element) -> etree._Element:
    return chance.choice([element for element in root.iter() if isinstance(element.tag, str)])


def _number(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    places = [(e, str(k)) for e in root.iter() for k, v in e.attrib.items() if _NUMBER.search(str(v))]
    if not places:
        return
    element, key = chance.choice(places)
    text = str(element.attrib[key])
    match = chance.choice(list(_NUMBER.finditer(text)))
    if chance.random() < 0.5:
        number = chance.choice(NUMBERS)
    else:
        number = f"{float(match[0]) * chance.choice((-1, 1e-6, 0.01, 0.5, 3, 100, 1e4, 1e6)):.6g}"
    element.set(key, text[: match.start()] + number + text[match.end() :])


def _attribute(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    key, values = chance.choice(_SETTINGS)
    _any(chance, root).set(key, chance.choice(values))


def _swap(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    """Give one element an attribute of another."""
    giver, taker = _any(chance, chance.choice([root, *others[:1]])), _any(chance, root)
    if giver.attrib:
        key = chance.choice(sorted(map(str, giver.attrib)))
        taker.set(key, str(giver.attrib[key]))


def _drop(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    element = _any(chance, root)
    if element.attrib:
        del element.attrib[chance.choice(sorted(map(str, element.attrib)))]


def _double(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    element = _any(chance, root)
    parent = element.getparent()
    if parent is not None:
        for _ in range(chance.choice((1, 2, 9))):
            parent.append(copy.deepcopy(element))


def _nest(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    """Put a copy of one subtree into any other, perhaps one from another drawing."""
    source = chance.choice([root, *others])
    _any(chance, root).append(copy.deepcopy(_any(chance, source)))


def _chain(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    element = _any(chance, root)
    for _ in range(chance.choice((1, 5, 60, 190))):
        element = etree.SubElement(element, _SVG + chance.choice(("g", "g", "svg", "a")))
    element.append(copy.deepcopy(_any(chance, chance.choice(others))))


def _remove(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    element = _any(chance, root)
    parent = element.getparent()
    if parent is not None:
        parent.remove(element)


def _rename(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    element = _any(chance, root)
    if element.getparent() is not None:
        element.tag = _SVG + chance.choice(_TAGS)


def _text(chance: random.Random, root: etree._Element, others: Sequence[etree._Element]) -> None:
    word = chance.choice([word for word in (*WORDS, *NUMBERS) if word.isprintable()])
    _any(chance, root).text = word


_MUTATORS: tuple[_Mutator, ...] = (
    _number, _number, _number, _attribute, _attribute, _attribute, _swap, _drop, _double, _nest, _chain,
    _remove,
    _rename, _text,
)  # fmt: skip


def restructured(chance: random.Random, data: bytes, others: Sequence[bytes]) -> bytes:
    """The drawing after one to six such changes. All of it is XML that any parser takes."""
    root = etree.fromstring(data)
    donors = [etree.fromstring(chance.choice(others)) for _ in range(2)]
    for _ in range(chance.randint(1, 6)):
        chance.choice(_MUTATORS)(chance, root, donors)
    changed: bytes = etree.tostring(root)
    return changed if len(changed) <= _LARGEST else data
