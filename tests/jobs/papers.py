"""Reading a PDF back, for the tests of what is printed."""

from __future__ import annotations

from typing import Any


def tagged(reader: Any) -> list[tuple[str, Any]]:
    """Kind and alternative text of every element of the structure tree."""
    found = []

    def walk(node: Any) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif hasattr(node, "get"):
            if node.get("/S"):
                found.append((str(node["/S"]), node.get("/Alt")))
            if node.get("/K") is not None:
                walk(node["/K"])

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found
