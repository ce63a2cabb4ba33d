"""The styles that the tests find once for what is alike are those that Textual finds for each node by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode

from tests.tui import styled
from tests.tui.shed import Shed, opened


def told(node: DOMNode) -> tuple[object, ...]:
    """All that style sheets say of a node and its parts."""
    by = node._has_hover_style, node._has_focus_within, node._has_order_style, node._has_odd_or_even
    parts = {name: dict(part.base._rules) for name, part in node._component_styles.items()}
    return dict(node.styles.base._rules), parts, by


def same(shed: Shed, monkeypatch: Any) -> int:
    """How many nodes of the screen in front have the styles that Textual gives them."""
    nodes = list(shed.app.screen.walk_children(with_self=True))
    found = [told(node) for node in nodes]
    with monkeypatch.context() as plain:
        plain.setattr(Stylesheet, "apply", styled.apply)
        shed.app.stylesheet.update_nodes(nodes)
    for node, before in zip(nodes, found, strict=True):
        assert told(node) == before, node
    return len(nodes)


async def test_every_node_has_the_styles_that_textual_gives_it(tiny: Path, monkeypatch):
    assert Stylesheet.apply is styled.applied
    seen = 0
    for _ in range(2):  # the second time they are known
        async with opened(tiny) as shed:
            seen += same(shed, monkeypatch)
            for keys in (("d",), ("tab",), ("escape", "question_mark"), ("escape", "2"), ("4", "b"), ("escape", "v")):
                await shed.press(*keys)
                seen += same(shed, monkeypatch)
    assert seen > 100
