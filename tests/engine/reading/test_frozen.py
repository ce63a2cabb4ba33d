"""The frozen classes of the house against the standard library's dataclasses, which they are to behave as."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Mapping
from typing import Any

import pytest

from engine.reading import frozen

ORDER = ("first", "second", "third", "fourth", "fifth")


class Plain:
    """A class with each kind of field that there is."""

    first: int
    second: str = "b"
    third: Mapping[str, int] = frozen.field(default_factory=dict, hash=False)
    fourth: float = frozen.field(default=4.0, compare=False, repr=False)
    fifth: tuple[int, ...] = ()

    @property
    def twice(self) -> int:
        return 2 * self.first

    def __post_init__(self) -> None:
        if self.first < 0:
            raise ValueError("first")


def copy_of(name: str) -> type:
    """The plain class under another name: what decorates it takes its fields away."""
    return type(name, (), {key: value for key, value in vars(Plain).items() if key not in ("__dict__", "__weakref__")})


Ours: Any = frozen.dataclass(frozen=True, slots=True)(copy_of("Ours"))
Theirs: Any = dataclasses.dataclass(frozen=True, slots=True)(copy_of("Theirs"))
CALLS: list[tuple[tuple[Any, ...], dict[str, Any]]] = [
    ((1,), {}), ((1, "c"), {}), ((2, "b", {"x": 1}), {}), ((2,), {"third": {"x": 1}, "fourth": 5.0}),
    ((2,), {"fifth": (1,)}),
]  # fmt: skip


@pytest.mark.parametrize(("args", "named"), CALLS)
def test_it_is_built_shown_and_hashed_as_the_librarys(args: tuple[Any, ...], named: dict[str, Any]):
    ours, theirs = Ours(*args, **named), Theirs(*args, **named)
    assert [getattr(ours, name) for name in ORDER] == [getattr(theirs, name) for name in ORDER]
    assert repr(ours).replace("Ours", "Theirs") == repr(theirs)
    assert (hash(ours), ours.twice) == (hash(theirs), theirs.twice)
    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)


def test_two_are_equal_where_the_librarys_are():
    for args, named in CALLS:
        for others, more in CALLS:
            same = Theirs(*args, **named) == Theirs(*others, **more)
            assert (Ours(*args, **named) == Ours(*others, **more)) == same
    assert Ours(1) != Theirs(1)
    assert Ours(1) != 1


def test_the_one_built_after_many_is_as_the_first():
    """An __init__ is compiled for it only then."""
    kind: Any = frozen.dataclass(frozen=True, slots=True)(copy_of("Many"))
    values = [kind(1, fifth=(n,)) for n in range(frozen.OFTEN + 2)]
    assert [value.fifth for value in values] == [(n,) for n in range(len(values))]
    assert repr(values[0]).replace("fifth=(0,)", "") == repr(values[-1]).replace(f"fifth=({len(values) - 1},)", "")
    with pytest.raises(ValueError, match="first"):
        kind(-1)


def test_a_default_that_is_made_is_each_ones_own():
    assert Ours(1).third is not Ours(1).third


@pytest.mark.parametrize("change", [{"first": 3}, {"third": {"y": 2}}, {"second": "q", "fourth": 1.0}])
def test_one_with_a_field_changed_is_the_librarys(change: dict[str, Any]):
    ours, theirs = Ours(2, "b", {"x": 1}), Theirs(2, "b", {"x": 1})
    for replace in (frozen.replace, dataclasses.replace):
        assert [getattr(replace(ours, **change), name) for name in ORDER] == [
            getattr(dataclasses.replace(theirs, **change), name) for name in ORDER
        ]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda kind: kind(),
        lambda kind: kind(1, 2, 3, 4, 5, 6),
        lambda kind: kind(1, sixth=2),
        lambda kind: kind(-1),
        lambda kind: setattr(kind(1), "first", 2),
        lambda kind: delattr(kind(1), "first"),
        lambda kind: frozen.replace(kind(1), sixth=2),
    ],
)
def test_what_the_library_refuses_is_refused(wrong: Any):
    with pytest.raises(Exception) as theirs:  # noqa: PT011
        wrong(Theirs)
    with pytest.raises(theirs.type) as ours:
        wrong(Ours)
    assert str(ours.value).replace("Ours", "Theirs") == str(theirs.value)


def test_it_is_copied_and_kept_and_has_no_room_for_more():
    from engine.odds.rates import Rate

    one = Ours(2, "b", {"x": 1})
    assert copy.copy(one) == copy.deepcopy(one) == one
    assert copy.deepcopy(one).third is not one.third
    assert pickle.loads(pickle.dumps(Rate(0.5, 10))) == Rate(0.5, 10)
    assert not hasattr(one, "__dict__")
    assert dataclasses.is_dataclass(one)
    assert [each.name for each in dataclasses.fields(one)] == list(ORDER)


def test_what_it_cannot_make_it_refuses():
    with pytest.raises(TypeError, match="inherits"):
        frozen.dataclass(frozen=True, slots=True)(type("Child", (Plain,), {}))
    with pytest.raises(TypeError, match="only frozen"):
        frozen.dataclass(frozen=True, slots=False)
