"""Walks an SVG drawing and gathers the exact shapes of everything it paints, in page pixels."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from lxml import etree
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps
from layout_core.art.affine import (
    IDENTITY,
    Affine,
    after,
    determinant,
    greatest_stretch,
    inverse,
    mapped,
    parsed_transform,
    shift,
)
from layout_core.art.css import Cascade, Values
from layout_core.art.curves import Contour, Outline, flattened, outline_bounds
from layout_core.art.fill import EMPTY, Rule, filled
from layout_core.art.ink_layers import Painted
from layout_core.art.ink_map import USUAL_THRESHOLD
from layout_core.art.refusal import NeedsRaster, OverLimit
from layout_core.art.safe_xml import href, local_name
from layout_core.art.strokes import stroked
from layout_core.art.svg_gradients import Sight, opaque_area
from layout_core.art.svg_guards import dash_count, passes_conditions
from layout_core.art.svg_markers import KINDS, Vertex, marker_frame, marker_names, vertices_of
from layout_core.art.svg_paint import Paint, number, paint_of, reference
from layout_core.art.svg_pen import line_first, measured, pen_of
from layout_core.art.svg_shapes import SHAPES, is_stroked_wrongly, shape_outline
from layout_core.art.svg_text import set_text
from layout_core.art.viewport import Page, fitted, length_px, view_box

_GROUPS = frozenset({"g", "a", "switch"})
_CONTEXT = {"context-fill": ("fill", "black"), "context-stroke": ("stroke", "none")}


@dataclass(frozen=True, slots=True)
class Walked:
    """What a walk found, in page px and painting order; apart, what a reference renderer draws wrongly.

    `thinnest_px` is the narrowest stroke's width; 0 when nothing is stroked.
    """

    painted: tuple[Painted, ...]
    beyond_check: tuple[Painted, ...]
    has_see_through: bool
    thinnest_px: float


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the walk stands: map to page px, parent's values, viewport in user units, opacity, references.

    `context` is the place of the path whose marker is drawn.
    """

    to_px: Affine
    values: Values
    width: float
    height: float
    alpha: float = 1.0
    opened: tuple[etree._Element, ...] = ()
    context: "_Place | None" = None


@dataclass(frozen=True, slots=True)
class _Ink:
    """A paint, and the alpha of its own from which on it counts as ink."""

    paint: Paint
    least: float


@dataclass(slots=True)
class Walker:
    """One walk over one document.

    `tolerance_px` is how far a flattened curve may lie from the true one, `threshold` how opaque paint must
    be to count.
    """

    cascade: Cascade
    page: Page
    tolerance_px: float
    ids: dict[str, etree._Element]
    threshold: float = USUAL_THRESHOLD
    _visits: int = 0
    _vertices: int = 0
    _has_see_through: bool = False
    _thinnest_px: float = 0.0
    _beyond: list[Painted] = field(default_factory=list)

    def walk(self, root: etree._Element) -> Walked:
        """Everything the root paints. Raises NeedsRaster or OverLimit."""
        place = _Place(self.page.to_px, {}, self.page.user_width, self.page.user_height)
        values = self.cascade.computed(root, {})
        self._check_effects(root, values)
        place = replace(place, values=values, alpha=number(values.get("opacity"), 1.0))
        shapes = self._children(root, place) if values.get("display") != "none" else []
        if self.page.has_extent:
            edge = shapely.box(0, 0, self.page.width_px, self.page.height_px)
            shapes = _clipped(shapes, edge)
            self._beyond = _clipped(self._beyond, edge)
        return Walked(tuple(shapes), tuple(self._beyond), self._has_see_through, self._thinnest_px)

    def _find(self, name: str) -> etree._Element | None:
        return self.ids.get(name)

    def _children(self, parent: etree._Element, place: _Place) -> list[Painted]:
        return [shape for child in parent for shape in self._draw(child, place)]

    def _draw(self, element: etree._Element, place: _Place) -> list[Painted]:
        name = local_name(element)
        if name not in SHAPES and name not in _GROUPS and name not in ("svg", "use", "text", "image"):
            return []
        self._visits += 1
        if self._visits > caps.VISITS:
            raise OverLimit(f"draws more than {caps.VISITS:,} elements through its references")
        if not passes_conditions(element):
            return []
        values = self.cascade.computed(element, place.values)
        if values.get("display") == "none":
            return []
        alpha = place.alpha * number(values.get("opacity"), 1.0)
        if alpha <= 0:
            return []
        self._check_effects(element, values)
        own = parsed_transform(str(element.get("transform") or ""))
        if own is None:
            raise NeedsRaster("a transform that cannot be read")
        here = replace(place, to_px=after(place.to_px, own), values=values, alpha=alpha)
        if abs(determinant(here.to_px)) < 1e-12:
            return []
        beyond_before = len(self._beyond)
        shapes = self._drawn_kind(element, name, here)
        clip = reference(values.get("clip-path"))
        if clip is not None:
            edge = self._clip(clip[0], element, here)
            if edge is not None:
                shapes = _clipped(shapes, edge)
                self._beyond[beyond_before:] = _clipped(self._beyond[beyond_before:], edge)
        return shapes

    def _drawn_kind(self, element: etree._Element, name: str, here: _Place) -> list[Painted]:
        if name == "text":
            return self._text(element, here)
        if name == "image":
            if href(element):
                raise NeedsRaster("a picture")
            return []
        if name == "use":
            return self._used(element, here)
        if name == "svg":
            width, height = element.get("width"), element.get("height")
            return self._inner_page(element, here, element, width, height)
        if name == "switch":
            chosen = next(
                (child for child in element if local_name(child) and passes_conditions(child)), None
            )
            return [] if chosen is None else self._draw(chosen, here)
        if name == "g" or name == "a":
            return self._children(element, here)
        return self._shape(element, here)

    def _check_effects(self, element: etree._Element, values: Values) -> None:
        for effect, words in (("filter", "a filter"), ("mask", "a mask"), ("mask-image", "a mask")):
            if values.get(effect, "none") != "none":
                raise NeedsRaster(words)
        if "transform" in self.cascade.declared(element):
            raise NeedsRaster("a transform in its style")
        if values.get("transform-origin") and element.get("transform"):
            raise NeedsRaster("a transform about its own origin")

    def _used(self, element: etree._Element, here: _Place) -> list[Painted]:
        target = self._find(href(element).removeprefix("#"))
        if target is None or target in here.opened or target in element.iterancestors():
            return []
        x = length_px(element.get("x"), here.width) or 0.0
        y = length_px(element.get("y"), here.height) or 0.0
        inner = replace(here, to_px=after(here.to_px, shift(x, y)), opened=(*here.opened, target))
        width, height = element.get("width"), element.get("height")
        if local_name(target) == "symbol":
            values = self.cascade.computed(target, here.values)
            self._check_effects(target, values)
            inner = replace(inner, values=values, alpha=inner.alpha * number(values.get("opacity"), 1.0))
            return self._inner_page(target, inner, None, width, height)
        if local_name(target) == "svg" and (width or height):
            values = self.cascade.computed(target, here.values)
            inner = replace(inner, values=values)
            width, height = width or target.get("width"), height or target.get("height")
            return self._inner_page(target, inner, target, width, height)
        return self._draw(target, inner)

    def _inner_page(
        self,
        element: etree._Element,
        here: _Place,
        placed: etree._Element | None,
        width_text: str | None,
        height_text: str | None,
    ) -> list[Painted]:
        """The children of a nested svg or a symbol, in a viewport of their own that cuts what sticks out."""
        x = length_px(placed.get("x"), here.width) or 0.0 if placed is not None else 0.0
        y = length_px(placed.get("y"), here.height) or 0.0 if placed is not None else 0.0
        width = length_px(width_text or "100%", here.width)
        height = length_px(height_text or "100%", here.height)
        if width is None or height is None or width <= 0 or height <= 0:
            return []
        to_px = after(here.to_px, shift(x, y))
        box = view_box(element.get("viewBox"))
        fit = fitted(box, width, height, element.get("preserveAspectRatio")) if box else IDENTITY
        size = box[2:] if box else (width, height)
        inner = replace(here, to_px=after(to_px, fit), width=size[0], height=size[1])
        before = len(self._beyond)
        shapes = self._children(element, inner)
        if self.cascade.declared(element).get("overflow") in ("visible", "auto"):
            return shapes
        edge = _viewport(width, height, to_px)
        self._beyond[before:] = _clipped(self._beyond[before:], edge)
        return _clipped(shapes, edge)

    def _shape(self, element: etree._Element, here: _Place) -> list[Painted]:
        outline = shape_outline(element, here.width, here.height)
        if not outline.contours or here.values.get("visibility") in ("hidden", "collapse"):
            return []
        rule: Rule = "evenodd" if here.values.get("fill-rule") == "evenodd" else "nonzero"
        fill = self._fill(outline, rule, here)
        stroke = self._line(element, outline, here)
        markers = self._markers(element, outline, here)
        return [*stroke, *fill, *markers] if line_first(here.values) else [*fill, *stroke, *markers]

    def _text(self, element: etree._Element, here: _Place) -> list[Painted]:
        shapes: list[Painted] = []
        for piece in set_text(element, here.values, self.cascade, here.width, here.height):
            if piece.values.get("visibility") in ("hidden", "collapse"):
                continue
            styled = replace(here, values=piece.values)
            fill = self._fill(piece.outline, "nonzero", styled)
            stroke = self._line(element, piece.outline, styled)
            shapes += [*stroke, *fill] if line_first(piece.values) else [*fill, *stroke]
        return shapes

    def _fill(self, outline: Outline, rule: Rule, here: _Place) -> list[Painted]:
        ink = self._ink(here.values.get("fill", "black"), here.values.get("fill-opacity"), here)
        if ink is None:
            return []
        return self._inked(ink, self._filled(outline.contours, here.to_px, rule), outline, here)

    def _line(self, element: etree._Element, outline: Outline, here: _Place) -> list[Painted]:
        ink = self._ink(here.values.get("stroke", "none"), here.values.get("stroke-opacity"), here)
        if ink is None:
            return []
        edges = self._inked(ink, self._stroke(element, outline, here), outline, here)
        if is_stroked_wrongly(element, here.values):
            self._beyond += edges
            return []
        return edges

    def _inked(self, ink: _Ink, shape: BaseGeometry, outline: Outline, here: _Place) -> list[Painted]:
        """The shape as painted, less where a fading gradient is too clear to count."""
        gradient = ink.paint.gradient
        if gradient is None or shape.is_empty:
            return [Painted(shape, ink.paint.rgb)]
        user = mapped(shapely.get_coordinates(shapely.box(*shape.bounds)), inverse(here.to_px))
        (x0, y0), (x1, y1) = user.min(axis=0), user.max(axis=0)
        pad = max(x1 - x0, y1 - y0) * 0.01
        sight = Sight(
            outline_bounds(outline), (x0 - pad, y0 - pad, x1 + pad, y1 + pad), (here.width, here.height),
            self.tolerance_px / greatest_stretch(here.to_px),
        )  # fmt: skip
        area = opaque_area(gradient, ink.paint.stops, ink.least, self._find, sight)
        if area is None:
            return [Painted(shape, ink.paint.rgb)] if ink.paint.alpha >= ink.least else []
        cut = shape.intersection(shapely.transform(area, lambda xy: mapped(xy, here.to_px)))
        return [] if cut.is_empty else [Painted(cut, ink.paint.rgb)]

    def _markers(self, element: etree._Element, outline: Outline, here: _Place) -> list[Painted]:
        """What the markers of a path draw. Source: SVG 2, section 13.7 (rendering markers)."""
        names = marker_names(element, here.values)
        if not names:
            return []
        vertices = vertices_of(outline)
        chosen = {"marker-start": vertices[:1], "marker-mid": vertices[1:-1], "marker-end": vertices[-1:]}
        shapes: list[Painted] = []
        for kind in KINDS:
            goes_to = shapes
            if kind == "marker-mid" and any(part.inner for part in outline.contours):
                goes_to = self._beyond
            for vertex in chosen[kind] if kind in names else ():
                goes_to += self._marker(names[kind], vertex, here, is_start=kind == "marker-start")
        return shapes

    def _marker(self, name: str, vertex: Vertex, here: _Place, *, is_start: bool) -> list[Painted]:
        marker = self._find(name)
        if marker is None or local_name(marker) != "marker" or marker in here.opened:
            return []
        size = (here.width, here.height)
        frame = marker_frame(
            marker, vertex, pen_of(here.values, here.width, here.height).width, size, is_start=is_start
        )
        if frame is None:
            return []
        self._check_effects(marker, self.cascade.declared(marker))
        values = self.cascade.in_tree(marker)
        inner = _Place(
            after(here.to_px, frame.to_user), values, *frame.size, here.alpha, (*here.opened, marker), here
        )
        before = len(self._beyond)
        shapes = self._children(marker, inner)
        if self.cascade.declared(marker).get("overflow") in ("visible", "auto"):
            return shapes
        edge = _viewport(*frame.viewport, after(here.to_px, frame.viewport_to_user))
        self._beyond[before:] = _clipped(self._beyond[before:], edge)
        return _clipped(shapes, edge)

    def _ink(self, text: str, opacity: str | None, here: _Place) -> _Ink | None:
        """The paint and from which alpha of its own on it counts; None when none of it does."""
        if text.startswith("context-") and here.context is not None:
            text = here.context.values.get(*_CONTEXT.get(text, ("fill", "none")))
            return self._ink(text, opacity, replace(here, values=here.context.values, context=None))
        paint: Paint | None = paint_of(text, here.values, self._find, self.cascade)
        share = number(opacity, 1.0) * here.alpha
        if paint is None or share <= 0:
            return None
        self._has_see_through |= 0.01 < paint.alpha * share < 0.99
        least = self.threshold / share
        most = paint.alpha if paint.gradient is None else max(alpha for _, alpha in paint.stops)
        return _Ink(paint, least) if most >= least else None

    def _filled(self, contours: Sequence[Contour], to_px: Affine, rule: Rule) -> BaseGeometry:
        rings = [flattened(part, to_px, self.tolerance_px) for part in contours]
        self._vertices += sum(len(ring) for ring in rings)
        if self._vertices > caps.VERTICES:
            raise OverLimit(f"has more than {caps.VERTICES:,} corners")
        return filled(rings, rule, self.tolerance_px)

    def _stroke(self, element: etree._Element, outline: Outline, here: _Place) -> BaseGeometry:
        fine = self.tolerance_px / greatest_stretch(here.to_px)
        pen = measured(
            pen_of(here.values, here.width, here.height),
            length_px(element.get("pathLength"), 0.0),
            outline,
            fine,
        )
        if pen.width <= 0:
            return EMPTY
        dash_count(outline, pen.dashes)
        if here.values.get("vector-effect") == "non-scaling-stroke":
            parts = tuple(
                Contour(mapped(part.cubics, here.to_px), part.is_line, part.is_closed)
                for part in outline.contours
            )
            outline, to_px = Outline(parts), IDENTITY
            dash_count(outline, pen.dashes)
        else:
            to_px = here.to_px
        thin = pen.width * abs(determinant(to_px)) ** 0.5
        self._thinnest_px = min(thin, self._thinnest_px or thin)
        edge = stroked(outline, pen, self.tolerance_px / greatest_stretch(to_px))
        return self._filled(edge.contours, to_px, "nonzero")

    def _clip(self, name: str, element: etree._Element, here: _Place) -> BaseGeometry | None:
        """The area a clip path leaves, in page px; None when the reference leads nowhere."""
        target = self._find(name)
        if target is None or local_name(target) != "clipPath":
            return None
        if target in here.opened:
            raise NeedsRaster("a clip that refers to itself")
        own = parsed_transform(str(target.get("transform") or ""))
        if own is None:
            raise NeedsRaster("a transform that cannot be read")
        to_px = here.to_px
        if target.get("clipPathUnits") == "objectBoundingBox":
            to_px = after(to_px, self._box_frame(element, here))
        to_px = after(to_px, own)
        inner = replace(here, to_px=to_px, opened=(*here.opened, target), alpha=1.0)
        parts = [self._clip_part(child, inner) for child in target]
        area: BaseGeometry = shapely.union_all(parts) if parts else EMPTY
        further = reference(self.cascade.declared(target).get("clip-path"))
        if further is not None:
            edge = self._clip(further[0], element, replace(inner, to_px=here.to_px))
            area = area if edge is None else area.intersection(edge)
        return area

    def _clip_part(self, child: etree._Element, place: _Place) -> BaseGeometry:
        name = local_name(child)
        values = self.cascade.computed(child, place.values)
        own = parsed_transform(str(child.get("transform") or ""))
        if name == "text" or own is None:
            raise NeedsRaster("text as a clip" if name == "text" else "a transform that cannot be read")
        if values.get("display") == "none":
            return EMPTY
        here = replace(place, to_px=after(place.to_px, own), values=values)
        area: BaseGeometry = EMPTY
        if name == "use":
            target = self._find(href(child).removeprefix("#"))
            if target is None or (local_name(target) not in SHAPES and local_name(target) != "text"):
                return EMPTY
            x = length_px(child.get("x"), here.width) or 0.0
            y = length_px(child.get("y"), here.height) or 0.0
            area = self._clip_part(target, replace(here, to_px=after(here.to_px, shift(x, y))))
        elif name in SHAPES and values.get("visibility", "visible") == "visible":
            outline = shape_outline(child, here.width, here.height)
            rule: Rule = "evenodd" if values.get("clip-rule") == "evenodd" else "nonzero"
            area = self._filled(outline.contours, here.to_px, rule) if outline.contours else EMPTY
        further = reference(self.cascade.declared(child).get("clip-path"))
        edge = self._clip(further[0], child, here) if further else None
        return area if edge is None else area.intersection(edge)

    def _box_frame(self, element: etree._Element, here: _Place) -> Affine:
        """The map from the unit square to the element's own bounding box (fill geometry, no stroke)."""
        if local_name(element) not in SHAPES:
            raise NeedsRaster("a clip sized by a group")
        outline = shape_outline(element, here.width, here.height)
        box = outline_bounds(outline)
        if box is None:
            raise NeedsRaster("a clip sized by nothing")
        x0, y0, x1, y1 = box
        return (x1 - x0, 0.0, 0.0, y1 - y0, x0, y0)


def _viewport(width: float, height: float, to_px: Affine) -> shapely.Polygon:
    """The rectangle from the origin as it lies on the page."""
    corners = np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    return shapely.Polygon(mapped(corners, to_px))


def _clipped(painted: Sequence[Painted], edge: BaseGeometry) -> list[Painted]:
    kept = []
    for item in painted:
        shape = item.shape
        if edge.geom_type == "Polygon" and edge.covers(shapely.box(*shape.bounds)) and not shape.is_empty:
            kept.append(item)
            continue
        cut = shape.intersection(edge)
        if not cut.is_empty:
            kept.append(Painted(cut, item.rgb))
    return kept
