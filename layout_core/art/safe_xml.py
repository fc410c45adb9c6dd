"""Parses a stranger's SVG without network, entities from outside, scripts or anything that reaches out."""

import re
from collections.abc import Iterator

from lxml import etree

from layout_core.art import caps
from layout_core.art.refusal import OverLimit, Refused

SVG_NS = "http://www.w3.org/2000/svg"
XLINK_NS = "http://www.w3.org/1999/xlink"
_XML_NS = "http://www.w3.org/XML/1998/namespace"
_KNOWN_PREFIXES = {"xlink": XLINK_NS, "svg": SVG_NS}
_UNDECLARED = re.compile(r"[Nn]amespace prefix ([A-Za-z_][\w.-]{0,60}) ")
_MOST_PREFIXES = 40
_ROOT_TAG = re.compile(rb"<(?:[A-Za-z_][\w.-]*:)?svg(?=[\s/>])")
_ACTIVE = frozenset(
    {"script", "foreignObject", "animate", "animateColor", "animateMotion", "animateTransform", "set",
     "mpath", "discard", "handler", "listener", "audio", "video", "iframe", "canvas", "object", "embed"}
)  # fmt: skip


def parsed(data: bytes) -> etree._Element:
    """The root `svg` element, every element in its namespace, within the limits of depth and count.

    Raises Refused for broken XML and for XML that is no SVG, OverLimit for what is too large or deep.
    """
    root = _parsed_with_prefixes(data)
    if local_name(root) != "svg":
        raise Refused("is XML, but not an SVG drawing")
    _check_extent(root)
    for element in root.iter():
        if isinstance(element.tag, str) and not element.tag.startswith("{"):
            element.tag = f"{{{SVG_NS}}}{element.tag}"
    return root


def _parsed_with_prefixes(data: bytes) -> etree._Element:
    for _ in range(_MOST_PREFIXES):
        try:
            return etree.fromstring(data, _parser())
        except etree.XMLSyntaxError as error:
            declared = _with_prefix(data, str(error))
            if declared is None:
                raise _refusal(str(error)) from error
            data = declared
        except ValueError as error:
            raise Refused("is not readable XML") from error
    raise Refused("uses too many undeclared name prefixes")


def _parser() -> etree.XMLParser:
    return etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type]  # stubs know only bool
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        recover=False,
        remove_comments=True,
        remove_pis=True,
    )


def _with_prefix(data: bytes, message: str) -> bytes | None:
    """The file with an undeclared prefix declared on its root, as old clip art needs; None if no help."""
    match = _UNDECLARED.search(message)
    root = _ROOT_TAG.search(data)
    if match is None or root is None:
        return None
    prefix = match[1]
    address = _KNOWN_PREFIXES.get(prefix, f"urn:undeclared:{prefix}")
    return data[: root.end()] + f' xmlns:{prefix}="{address}"'.encode() + data[root.end() :]


def _refusal(message: str) -> Refused:
    lower = message.lower()
    if "entity" in lower and ("amplification" in lower or "loop" in lower or "nested" in lower):
        return OverLimit("holds entities that multiply without end; it may be harmful")
    if "depth" in lower:
        return OverLimit(f"nests elements deeper than {caps.DEPTH}")
    if "huge" in lower or "too long" in lower or "too large" in lower or "limit" in lower:
        return OverLimit("holds a text larger than a drawing needs")
    line = re.search(r"line (\d+)", message)
    where = f" at line {line[1]}" if line else ""
    return Refused(f"is not a complete SVG file (its XML breaks{where}); ask for it again")


def _check_extent(root: etree._Element) -> None:
    count = references = 0
    depth = 0
    for event, element in etree.iterwalk(root, events=("start", "end")):
        if event == "end":
            depth -= 1
            continue
        depth += 1
        count += 1
        references += local_name(element) == "use"
        if depth > caps.DEPTH:
            raise OverLimit(f"nests elements deeper than {caps.DEPTH}")
        if count > caps.ELEMENTS:
            raise OverLimit(f"has more than {caps.ELEMENTS:,} elements")
        if references > caps.REFERENCES:
            raise OverLimit(f"has more than {caps.REFERENCES:,} references")


def local_name(element: etree._Element) -> str:
    """The name without its namespace; "" for what is no SVG element (editors' own data)."""
    tag = str(element.tag)
    if not tag.startswith("{"):
        return tag
    namespace, _, name = tag[1:].partition("}")
    return name if namespace == SVG_NS else ""


def href(element: etree._Element) -> str:
    """What the element refers to, stripped; "" for nothing."""
    return str(element.get("href") or element.get(f"{{{XLINK_NS}}}href") or "").strip()


def strip_active(root: etree._Element) -> list[str]:
    """Take out what moves, runs or reaches outside the file; returns sentences on what was dropped."""
    dropped: set[str] = set()
    for element in list(root.iter()):
        name = local_name(element)
        if name in _ACTIVE or (not name and element is not root):
            if name and not _is_alternative(element):
                dropped.add(_reason(name))
            _remove(element)
    for element in root.iter():
        dropped.update(_strip_attributes(element))
        if local_name(element) == "style":
            dropped.update(_strip_sheet(element))
    return sorted(dropped)


def _is_alternative(element: etree._Element) -> bool:
    """Whether the element is one choice of several, as drawing programs add for their own use only."""
    parent = element.getparent()
    return parent is not None and local_name(parent) == "switch"


def _reason(name: str) -> str:
    if name in ("script", "handler", "listener"):
        return "A script in the file was dropped."
    if name == "foreignObject":
        return "Web page content in the file was dropped."
    return "Animation or media in the file was dropped; the still drawing is used."


def _remove(element: etree._Element) -> None:
    parent = element.getparent()
    if parent is None:
        return
    if element.tail:
        before = element.getprevious()
        if before is not None:
            before.tail = (before.tail or "") + element.tail
        else:
            parent.text = (parent.text or "") + element.tail
    parent.remove(element)


def _strip_attributes(element: etree._Element) -> Iterator[str]:
    for key in list(element.attrib):
        name = str(key)
        value = str(element.attrib[key])
        if name in ("href", f"{{{XLINK_NS}}}href"):
            if not _is_inner(value, local_name(element)):
                del element.attrib[key]
                if local_name(element) != "a":
                    yield "A link to something outside the file was dropped."
        elif name.startswith(("{", "on")):
            if name != f"{{{_XML_NS}}}space":
                del element.attrib[key]
        elif "url(" in value or "\\" in value:
            cleaned = inner_css(value)
            if cleaned != value:
                element.attrib[key] = cleaned
                yield "A link to something outside the file was dropped."


def _is_inner(value: str, element_name: str) -> bool:
    value = value.strip()
    if value.startswith("#"):
        return True
    return element_name in ("image", "feImage") and bool(
        re.match(r"data:image/(png|jpe?g|gif|webp)\s*;[^,]{0,80}base64\s*,", value, re.IGNORECASE)
    )


def _strip_sheet(element: etree._Element) -> Iterator[str]:
    text = "".join(str(part) for part in element.itertext())
    for child in list(element):
        element.remove(child)
    cleaned = inner_css(text)
    element.text = cleaned
    if cleaned != text:
        yield "A link to something outside the file was dropped."


_URL = re.compile(r"url\(\s*(['\"]?)\s*(?P<target>[^)'\"]*)\1?\s*\)", re.IGNORECASE)
_IMPORT = re.compile(r"@(import|namespace|font-face)[^;{]*(;|\{[^}]*\}|$)", re.IGNORECASE)


def inner_css(text: str) -> str:
    """The CSS without imports, fonts and addresses that lead outside the file; escapes are taken out too."""
    text = re.sub(r"\\[0-9a-fA-F]{1,6}\s?|\\", "", text)
    text = _IMPORT.sub("", text)
    return _URL.sub(lambda m: m[0] if m["target"].strip().startswith("#") else "none", text)


def serialised(root: etree._Element) -> str:
    """The cleaned drawing as text without declaration and DOCTYPE, the only thing a renderer ever sees."""
    return str(etree.tostring(root, encoding="unicode", with_tail=False))
