"""Which value each SVG property has on an element, by attributes, style sheets and inheritance."""

import re
from collections.abc import Mapping

import cssselect2
import tinycss2
from lxml import etree

from layout_core.art.safe_xml import local_name

INHERITED = frozenset(
    {"clip-rule", "color", "direction", "dominant-baseline", "fill", "fill-opacity", "fill-rule",
     "font-family", "font-size", "font-size-adjust", "font-stretch", "font-style", "font-variant",
     "font-weight", "letter-spacing", "marker-end", "marker-mid", "marker-start", "paint-order", "stroke",
     "stroke-dasharray", "stroke-dashoffset", "stroke-linecap", "stroke-linejoin", "stroke-miterlimit",
     "stroke-opacity", "stroke-width", "text-anchor", "visibility", "word-spacing", "writing-mode"}
)  # fmt: skip
_OWN = frozenset(
    {"alignment-baseline", "baseline-shift", "clip-path", "display", "filter", "isolation", "mask",
     "mix-blend-mode", "opacity", "overflow", "stop-color", "stop-opacity", "text-decoration",
     "transform-origin", "vector-effect"}
)  # fmt: skip
_STYLE_ONLY = frozenset({"font", "marker", "transform", "mask-image"})
_MARKERS = ("marker-start", "marker-mid", "marker-end")
_ALL = INHERITED | _OWN
_FONT = re.compile(
    r"(?P<words>(?:[a-z-]+\s+|\d{3}\s+)*?)"
    r"(?P<size>[\d.]+(?:px|pt|pc|in|mm|cm|em|ex|rem|%)|(?:xx?-)?(?:small|large)|medium|smaller|larger)"
    r"(?:\s*/\s*[\w.%]+)?\s+(?P<family>.+)",
    re.IGNORECASE | re.DOTALL,
)

Values = Mapping[str, str]


class Cascade:
    """The declared values of every element of one document, style sheets applied in their order."""

    def __init__(self, root: etree._Element) -> None:
        self._matched = _matched_rules(root)
        self._known: dict[etree._Element, dict[str, str]] = {}

    def declared(self, element: etree._Element) -> Values:
        """What stands on the element itself; "inherit" is kept as a word."""
        known = self._known.get(element)
        if known is None:
            known = self._known[element] = self._gathered(element)
        return known

    def _gathered(self, element: etree._Element) -> dict[str, str]:
        values = {str(key): str(value).strip() for key, value in element.attrib.items() if str(key) in _ALL}
        ranked = list(self._matched.get(element, ()))
        style = element.get("style")
        if style:
            ranked.extend((important, (1 << 30, 0, 0), 0, name, value)
                          for name, value, important in _declarations(str(style)))  # fmt: skip
        values.update((name, value) for _, _, _, name, value in sorted(ranked, key=lambda rule: rule[:3]))
        return values

    def computed(self, element: etree._Element, parent: Values) -> dict[str, str]:
        """The element's values given its parent's; only inherited properties flow down."""
        values = {name: value for name, value in parent.items() if name in INHERITED}
        for name, value in self.declared(element).items():
            if value == "inherit":
                if name in parent:
                    values[name] = parent[name]
            elif value:
                values[name] = value
        return values

    def in_tree(self, element: etree._Element) -> dict[str, str]:
        """The element's values as it stands in the tree, whatever refers to it."""
        parent = element.getparent()
        return self.computed(element, {} if parent is None else self.in_tree(parent))


_Rank = tuple[bool, tuple[int, int, int], int, str, str]


def _declarations(text: str) -> list[tuple[str, str, bool]]:
    found = []
    for item in tinycss2.parse_blocks_contents(text, skip_comments=True, skip_whitespace=True):
        if item.type != "declaration" or (item.lower_name not in _ALL and item.lower_name not in _STYLE_ONLY):
            continue
        value = tinycss2.serialize([t for t in item.value if t.type != "comment"]).strip()
        if item.lower_name == "font":
            found += [(name, part, bool(item.important)) for name, part in _font_parts(value).items()]
        elif item.lower_name == "marker":
            found += [(name, value, bool(item.important)) for name in _MARKERS]
        else:
            found.append((item.lower_name, value, bool(item.important)))
    return found


def _font_parts(text: str) -> dict[str, str]:
    """The properties a font shorthand sets; none when it has no size. Source: CSS Fonts Level 4, 2.7."""
    match = _FONT.fullmatch(text.strip())
    if match is None:
        return {}
    parts = {"font-style": "normal", "font-weight": "normal", "font-variant": "normal"}
    for word in match["words"].lower().split():
        if word in ("italic", "oblique"):
            parts["font-style"] = word
        elif word in ("bold", "bolder", "lighter") or word.isdigit():
            parts["font-weight"] = word
        elif word == "small-caps":
            parts["font-variant"] = word
    return {**parts, "font-size": match["size"], "font-family": match["family"].strip()}


def _matched_rules(root: etree._Element) -> dict[etree._Element, list[_Rank]]:
    sheets = [element.text or "" for element in root.iter() if local_name(element) == "style"]
    matcher = cssselect2.Matcher()
    order = 0
    for sheet in sheets:
        for rule in tinycss2.parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True):
            if rule.type == "qualified-rule":
                order += 1
                _add_rule(matcher, rule, order)
    if not order:
        return {}
    found: dict[etree._Element, list[_Rank]] = {}
    for wrapped in cssselect2.ElementWrapper.from_xml_root(root).iter_subtree():
        for specificity, _, pseudo, (position, declarations) in matcher.match(wrapped):
            if pseudo is None:
                found.setdefault(wrapped.etree_element, []).extend(
                    (important, specificity, position, name, value) for name, value, important in declarations
                )
    return found


def _add_rule(matcher: cssselect2.Matcher, rule: tinycss2.ast.QualifiedRule, position: int) -> None:
    declarations = _declarations(tinycss2.serialize(rule.content))
    if not declarations:
        return
    try:
        selectors = cssselect2.compile_selector_list(rule.prelude)
    except cssselect2.SelectorError:
        return
    for selector in selectors:
        matcher.add_selector(selector, (position, declarations))
