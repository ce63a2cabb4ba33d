"""Frozen classes as the standard library's dataclasses make them, made in a fifth of the time.

A farm opens every morning, and a seventh of that went into making some seventy classes. To a reader and a type checker
`dataclass(frozen=True, slots=True)`, `field` and `replace` are the library's own, and each class behaves as if it were
(tests/engine/reading/test_frozen.py sets the two side by side). What is left out: inheritance, InitVar, order, and
arguments by name alone.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from dataclasses import MISSING, Field, FrozenInstanceError, field
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from dataclasses import dataclass, replace
else:

    def dataclass(*, frozen, slots):
        """Decorate a class whose annotations are its fields. Raises TypeError for what it does not know."""
        if not (frozen and slots):
            raise TypeError("only frozen classes with slots are made here")
        return _make

    def replace(value, /, **changes):
        """The same with some fields changed. Raises TypeError for a field that is not there."""
        own = getattr(value, "__replace__", None)
        return own(**changes) if own is not None else dataclasses.replace(value, **changes)


__all__ = ["dataclass", "field", "replace"]

OFTEN = 50
"""Once so many values of a class were built, to compile an __init__ for it costs less than to build more without."""


def _make(plain: type) -> type:
    """The class with slots, and with what it needs to be built, compared, hashed, shown and copied."""
    if plain.__bases__ != (object,):
        raise TypeError(f"{plain.__name__} inherits: take the library's own dataclass")
    body = dict(vars(plain))
    names = tuple(body.get("__annotations__", ()))
    given = {name: body.pop(name) for name in names if name in body}
    fields = {name: value if isinstance(value, Field) else field(default=value) for name, value in given.items()}
    compared = [name for name in names if name not in fields or fields[name].compare]
    hashed = [name for name in compared if name not in fields or fields[name].hash is not False]
    shown = [name for name in names if name not in fields or fields[name].repr]
    values, to_hash = _getter(compared), _getter(hashed)
    everything, place = _getter(names), {name: n for n, name in enumerate(names)}
    checks = hasattr(plain, "__post_init__")

    def equal(self: Any, other: Any) -> Any:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed_value(self: Any) -> int:
        return hash(to_hash(self))

    def replaced(self: Any, /, **changes: Any) -> Any:
        held = list(everything(self))
        for name, value in changes.items():
            if name not in place:
                return made(*held, **{name: value})  # which refuses it
            held[place[name]] = value
        return made(*held)

    def told(self: Any) -> str:
        return f"{plain.__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in shown)})"

    parts: list[_Part] = []
    built = 0

    def build(self: Any, *args: Any, **named: Any) -> None:
        nonlocal built, parts
        built += 1
        parts = parts or _parts(made, names, fields)
        if built > OFTEN or not _filled(self, parts, args, named):
            made.__init__ = _init(made, names, fields)
            made.__init__(self, *args, **named)  # which also says what does not fit
        elif checks:
            self.__post_init__()

    body.pop("__dict__", None)
    body.pop("__weakref__", None)
    body |= {
        "__slots__": names, "__match_args__": names, "__init__": build, "__replace__": replaced,
        "__setattr__": _frozen, "__delattr__": _frozen, "__getstate__": _state, "__setstate__": _set_state,
        "__dataclass_fields__": _Fields(given, plain),
    }  # fmt: skip
    for name, method in (("__eq__", equal), ("__hash__", hashed_value), ("__repr__", told)):
        if body.get(name) is None:
            body[name] = method
    made: Any = type(plain.__name__, (), body)
    made.__qualname__ = plain.__qualname__
    return made  # type: ignore[no-any-return]


def _getter(names: Sequence[str]) -> Any:
    """What gives the values of these fields, as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return (lambda value: (getattr(value, names[0]),)) if names else (lambda _: ())


_Part = tuple[str, Callable[[Any, Any], None], Any, Any]
"""A field's name, what sets it, its default and what makes one, each MISSING where there is none."""


def _parts(made: Any, names: tuple[str, ...], fields: dict[str, Field[Any]]) -> list[_Part]:
    known = ((name, fields.get(name) or field()) for name in names)
    return [(name, getattr(made, name).__set__, each.default, each.default_factory) for name, each in known]


def _filled(value: Any, parts: list[_Part], args: tuple[Any, ...], named: dict[str, Any]) -> bool:
    """Set the fields of a value as its __init__ would; whether what was given fits them."""
    given = len(args)
    for (_, put, _, _), each in zip(parts, args, strict=False):
        put(value, each)
    for name, put, default, make in parts[given:]:
        if name in named:
            put(value, named[name])
            given += 1
        elif default is not MISSING:
            put(value, default)
        elif make is not MISSING:
            put(value, make())
        else:
            return False
    return given == len(args) + len(named) <= len(parts)


def _init(made: Any, names: tuple[str, ...], fields: dict[str, Field[Any]]) -> Any:
    """The __init__ of a class, as source that is compiled once: nothing else builds a value as fast."""
    scope: dict[str, Any] = {"MISSING": MISSING}
    parameters, lines = [], []
    for name in names:
        scope[f"set_{name}"] = getattr(made, name).__set__
        known = fields.get(name)
        value = name
        if known is None:
            parameters.append(name)
        elif known.default is not MISSING:
            scope[f"default_{name}"] = known.default
            parameters.append(f"{name}=default_{name}")
        else:
            scope[f"new_{name}"] = known.default_factory
            parameters.append(f"{name}=MISSING")
            value = f"new_{name}() if {name} is MISSING else {name}"
        lines.append(f" set_{name}(self, {value})")
    if hasattr(made, "__post_init__"):
        lines.append(" self.__post_init__()")
    exec(f"def __init__(self, {', '.join(parameters)}):\n" + ("\n".join(lines) or " pass"), scope)
    scope["__init__"].__qualname__ = f"{made.__qualname__}.__init__"
    return scope["__init__"]


def _frozen(_: Any, name: str, *value: Any) -> NoReturn:
    raise FrozenInstanceError(f"cannot assign to field {name!r}" if value else f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in self.__match_args__]


def _set_state(self: Any, state: list[Any]) -> None:
    for name, value in zip(self.__match_args__, state, strict=True):
        object.__setattr__(self, name, value)


class _Fields:
    """`__dataclass_fields__`, by which the library knows its own: made when it is asked for."""

    def __init__(self, given: dict[str, Any], plain: type) -> None:
        self.made: dict[str, Any] | None = None
        self.of = given, plain

    def __get__(self, value: object, kind: type | None = None) -> dict[str, Any]:
        if self.made is None:
            given, plain = self.of
            notes = plain.__annotations__
            twin = type(plain.__name__, (), {**given, "__annotations__": notes, "__module__": plain.__module__})
            self.made = dataclasses.dataclass(frozen=True)(twin).__dataclass_fields__  # type: ignore[attr-defined]
        return self.made
