"""Textual's styles, found once for what is alike: the same as Textual finds them, as `test_styled.py` holds them to.

Each node of each app is matched against some hundreds of rules whenever it is put in, and again as the focus moves:
among hundreds of apps that hold the same widgets in the same states, the most of what an open screen takes.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, TypeAlias

from textual.app import App
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode
from textual.widget import Widget

Path: TypeAlias = tuple[Hashable, ...]
Rules: TypeAlias = dict[str, Any]

KNOWN = {"hover", "focus", "blur", "can-focus", "disabled", "enabled", "dark", "light", "inline", "ansi", "nocolor"}
"""The pseudo-classes that a path tells; what goes by others is left to Textual."""
apply = Stylesheet.apply
"""As Textual has it."""
_replace = Stylesheet.replace_rules
_sheets: dict[tuple[int, ...], int] = {}
_found: dict[tuple[int, Path], tuple[Rules | None, tuple[bool, ...]]] = {}
_set: dict[tuple[int, Path], Rules] = {}


def sheet(styles: Stylesheet) -> int:
    """A number for the rules of a style sheet: those of `settled.read_once`, which stay."""
    rules: list[RuleSet] = styles.rules
    known = styles.__dict__.get("_numbered")
    if known is None or known[0] is not rules:
        number = _sheets.setdefault(tuple(map(id, rules)), len(_sheets))
        known = styles.__dict__["_numbered"] = (rules, number)
    return int(known[1])


def path(node: DOMNode, known: dict[Any, Any]) -> Path:
    """All of a node and of what it lies in that rules can go by: those above it are looked at once."""
    if node in known:
        return known[node]  # type: ignore[no-any-return]
    own: Path = (type(node), node._id, frozenset(node._classes))
    if isinstance(node, Widget):
        own = (*own, node.mouse_hover, node.has_focus, node.disabled, node.allow_focus())
    elif isinstance(node, App):
        look = node.current_theme.dark, node.is_inline, node.native_ansi_color, node.no_color
        own = (*own, node.app_focus, *look)
    above = node._parent
    full = (own, path(above, known)) if isinstance(above, DOMNode) else (own,)
    known[node] = full
    return full


def applied(self: Stylesheet, node: DOMNode, *, animate: bool = False, cache: dict[Any, Any] | None = None) -> None:
    """Give a node its styles, as Textual does."""
    known = {} if cache is None else cache
    key = sheet(self), path(node, known)
    if key not in _found:
        find(self, node, key)
    rules, flags = _found[key]
    if rules is None:
        apply(self, node, animate=animate, cache=cache)
        return
    node._has_hover_style, node._has_focus_within, node._has_order_style, node._has_odd_or_even = flags
    put(node, key, rules, animate)
    parts(self, node, known)


def find(self: Stylesheet, node: DOMNode, key: tuple[int, Path]) -> None:
    """What Textual finds for a node, noted; nothing where it goes by more than a path tells."""
    by = {name for rule in self.rules if rule.selector_names & node._selector_names for name in rule.pseudo_classes}
    if not by <= KNOWN:
        _found[key] = None, ()
        return
    found: list[Rules] = []
    self.replace_rules = lambda node, rules, animate=False: found.append(dict(rules))  # type: ignore[method-assign]
    self._process_component_classes = lambda node: None  # type: ignore[method-assign]
    try:
        apply(self, node)
    finally:
        del self.replace_rules, self._process_component_classes
    flags = node._has_hover_style, node._has_focus_within, node._has_order_style, node._has_odd_or_even
    _found[key] = (found[0] if found else None), flags


def put(node: DOMNode, key: tuple[int, Path], rules: Rules, animate: bool) -> None:
    """Put the rules on a node; on one that is new and not there yet at once, as they were once they had been put."""
    base = node.styles.base
    if animate or base._rules or node._is_mounted:
        _replace(node, rules, animate=animate)  # type: ignore[arg-type]
    elif key in _set:
        base.merge_rules(_set[key])  # type: ignore[arg-type]
        node.notify_style_update()
    else:
        _replace(node, rules)  # type: ignore[arg-type]
        _set[key] = dict(base._rules)


def parts(self: Stylesheet, node: DOMNode, known: dict[Any, Any]) -> None:
    """Give the parts of a node that have styles of their own theirs, as Textual does."""
    names = node._get_component_classes()
    if not names:
        return
    before = dict(node._component_styles)
    node._component_styles.clear()
    changed = False
    for name in sorted(names):
        part = DOMNode(classes=name)
        part._attach(node)
        applied(self, part, cache=known)
        changed = changed or before.get(name) != part.styles
        node._component_styles[name] = part.styles
    if changed:
        node.refresh()
