"""Pages of one shared PDF surface, drawn by cairosvg.

cairosvg sets text letter by letter, twice, and reads path data with general expressions. The sheets consist almost
wholly of single lines of text and of straight strokes, so these two are handed to cairo directly; everything else
goes cairosvg's own way. `_create_surface` is private to cairosvg: its version is pinned, and tests cover this.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from plandoc.publish.fonts import cairo

_ROTATED = re.compile(r"rotate\((\S+) (\S+) (\S+)\)")
_PART = re.compile(r"([ML])([^MLZ]*)(Z?)")
_DEGREE = 0.017453292519943295


@lru_cache(maxsize=1)
def page_class() -> Any:
    """A cairosvg surface that draws on a page of a surface that is there already. Raises CairoMissing."""
    module = cairo()
    from cairosvg.colors import color
    from cairosvg.parser import Tree
    from cairosvg.surface import PDFSurface

    class Page(PDFSurface):  # type: ignore[misc]
        """One page of a shared PDF surface."""

        shared: Any = None

        @classmethod
        def draw_on(cls, shared: Any, svg: bytes) -> None:
            """Draw one SVG as the next page."""
            cls.shared = shared
            try:
                cls(Tree(bytestring=svg), None, 96)
                shared.show_page()
            finally:
                cls.shared = None

        def _create_surface(self, width: float, height: float) -> tuple[Any, float, float]:
            return self.shared, width, height

        def draw(self, node: Any) -> None:
            """Draw one element, the plain ones directly."""
            if node.tag == "text" and not node.children:
                self.line_of_text(node)
            elif node.tag == "path" and "A" not in node["d"]:
                self.straight_path(node)
            else:
                super().draw(node)

        def line_of_text(self, node: Any) -> None:
            context = self.context
            context.save()
            turn = _ROTATED.fullmatch(node.get("transform", ""))
            context.translate(float(node["x"]), float(node["y"]))
            if turn:
                context.rotate(float(turn[1]) * _DEGREE)
            weight = module.FONT_WEIGHT_BOLD if node.get("font-weight") == "600" else module.FONT_WEIGHT_NORMAL
            context.select_font_face(node["font-family"].split(",")[0], module.FONT_SLANT_NORMAL, weight)
            context.set_font_size(float(node["font-size"]))
            anchor = node.get("text-anchor", "start")
            shift = 0.0 if anchor == "start" else -context.text_extents(node.text)[4]
            context.move_to(shift / 2 if anchor == "middle" else shift, 0)
            context.set_source_rgba(*color(node["fill"]))
            context.show_text(node.text)
            context.restore()

        def straight_path(self, node: Any) -> None:
            context = self.context
            context.save()
            context.new_path()
            for letter, points, close in _PART.findall(node["d"]):
                for point in points.split(" "):
                    x, y = point.split(",")
                    if letter == "M":
                        context.move_to(float(x), float(y))
                    else:
                        context.line_to(float(x), float(y))
                if close:
                    context.close_path()
            if node.get("fill") != "none":
                even = node.get("fill-rule") == "evenodd"
                context.set_fill_rule(module.FILL_RULE_EVEN_ODD if even else module.FILL_RULE_WINDING)
                context.set_source_rgba(*color(node["fill"]))
                context.fill_preserve()
            if node.get("stroke") != "none":
                context.set_miter_limit(float(node.get("stroke-miterlimit", 4)))
                context.set_line_width(float(node["stroke-width"]))
                context.set_source_rgba(*color(node["stroke"]))
                context.stroke_preserve()
            context.new_path()
            context.restore()

    return Page
