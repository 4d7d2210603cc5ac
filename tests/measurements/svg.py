"""Reading our own drawings back."""

from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"


def parsed(svg: str) -> ElementTree.Element:
    """The drawing as a tree; raises on anything that isn't well-formed."""
    return ElementTree.fromstring(svg)  # noqa: S314 drawn by us a moment ago
