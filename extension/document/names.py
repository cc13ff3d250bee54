"""What elements and attributes of her document are called, in the namespaces of SVG, of the editor, and in ours."""
from __future__ import annotations

import inkex
from lxml import etree

#: The namespace of our attributes.
SLEEVE_NS = "urn:x-tiered-sleeve"
etree.register_namespace("sleeve", SLEEVE_NS)
etree.register_namespace("inkscape", inkex.NSS["inkscape"])

#: Each namespace as lxml writes it before a name.
OURS = f"{{{SLEEVE_NS}}}"
SVG, INKSCAPE, SODIPODI, XLINK = (f"{{{inkex.NSS[name]}}}" for name in ("svg", "inkscape", "sodipodi", "xlink"))

PATH, GROUP, TEXT, TSPAN, METADATA = (f"{SVG}{name}" for name in ("path", "g", "text", "tspan", "metadata"))
LABEL, GROUPMODE, PAGE = (f"{INKSCAPE}{name}" for name in ("label", "groupmode", "page"))
NAMED_VIEW, LOCKED = (f"{SODIPODI}{name}" for name in ("namedview", "insensitive"))
#: What a clone, or text along a path, refers to.
HREFS = ("href", f"{XLINK}href")

#: Our own mark, and the record of a sleeve.
PART, RECORD = (f"{OURS}{name}" for name in ("part", "record"))


def own(name: str) -> str:
    """Return our attribute of this name: ``length_mm`` becomes ``length-mm`` in our namespace."""
    return f"{OURS}{name.replace('_', '-')}"
