"""A part that alone breaks into a piece which would be worth keeping goes into scrap beside the other parts, where it has room there."""

from __future__ import annotations

from dataclasses import replace

from plandoc.cutting.joins import Leaf, Sawing
from plandoc.cutting.stock import Cut, Node, Placed, Rest, walk

MOVES = 8
"""So many parts of a sheet are moved at most."""


def gathered(tree: Node, sawing: Sawing) -> Node:
    """The tree with such parts moved, one after the other; the tree itself where there is none."""
    for _ in range(MOVES):
        moved = _moved(tree, sawing)
        if moved is None:
            break
        tree = moved
    return tree


def _moved(tree: Node, sawing: Sawing) -> Node | None:
    """The tree with the part moved that frees the largest piece, None where there is no such part."""
    nodes = list(walk(tree))
    alone = [node for node in nodes if isinstance(node, Cut) and node is not tree and sawing.saw.worth_keeping(node.length, node.width)]
    for piece in sorted(alone, key=lambda node: -node.length * node.width):
        inside = list(walk(piece))
        parts = [node for node in inside if isinstance(node, Placed)]
        if len(parts) != 1 or any(isinstance(node, Rest) and node.keep and node.length * node.width * 10 >= piece.length * piece.width * 9 for node in inside):
            continue
        (part,) = parts
        scrap = [
            node for node in nodes
            if isinstance(node, Rest) and not node.keep and node.length >= part.length and node.width >= part.width and not any(node is other for other in inside)
        ]  # fmt: skip
        if scrap:
            room = min(scrap, key=lambda node: (node.length * node.width, node.x, node.y))
            return _rebuilt(tree, piece, room, _taken(part, room, sawing))
    return None


def _taken(part: Placed, room: Rest, sawing: Sawing) -> Node:
    kerf = sawing.saw.kerf
    w, h = (int((size + kerf) * sawing.scale) for size in (part.length, part.width))
    leaf = Leaf(sawing.namer.names.index(part.part), w, h)
    return sawing.tree(leaf, room.x, room.y, room.length, room.width)


def _rebuilt(node: Node, piece: Cut, room: Rest, made: Node) -> Node:
    """The tree with the piece whole and the part in its room."""
    if node is piece:
        return Rest(piece.x, piece.y, piece.length, piece.width, True)
    if node is room:
        return made
    if isinstance(node, Cut):
        return replace(node, first=_rebuilt(node.first, piece, room, made), second=None if node.second is None else _rebuilt(node.second, piece, room, made))
    return node


