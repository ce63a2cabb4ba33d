"""Layers and logs hold what a plain mapping and a plain list hold, and keep what was copied as it was."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from engine.reading import log as logs
from engine.reading.log import Log, begins, onward
from engine.records import layers
from engine.records.layers import Layers, copied

STEPS = some.lists(
    some.tuples(some.sampled_from(["set", "set", "default", "drop", "append", "copy", "cut"]), some.integers(0, 12)),
    max_size=60,
)


@given(STEPS)
def test_layers_are_a_mapping_and_a_log_is_a_sequence(steps: list[tuple[str, int]]):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(layers, "MOST_ON_TOP", 5)
        patch.setattr(logs, "MOST_ON_TOP", 5)
        mapping, plain = copied({}), dict[int, int]()
        log, listed = Log[int](), list[int]()
        kept = []
        for n, (what, key) in enumerate(steps):
            match what:
                case "set":
                    mapping[key] = plain[key] = n
                case "default":
                    assert mapping.setdefault(key, n) == plain.setdefault(key, n)
                case "drop" if key in plain:
                    del mapping[key], plain[key]
                case "drop":
                    with pytest.raises(KeyError):
                        del mapping[key]
                case "append":
                    log.append(n)
                    listed.append(n)
                case "cut":
                    kept.append((mapping, {**plain}, log, [*listed]))
                    mapping, listed = copied(mapping), listed[:key]
                    shorter, whole = log.cut(key), log
                    assert begins(whole, shorter)
                    assert begins(whole, listed)
                    assert begins(shorter, whole) == (len(shorter) == len(whole))
                    log = onward(whole, [n, -n], len(listed))
                    listed += [n, -n]
                case _:
                    kept.append((mapping, {**plain}, log, [*listed]))
                    mapping, log = copied(mapping), log.copied()
            assert [mapping.get(k) for k in range(13)] == [plain.get(k) for k in range(13)]
            assert [k in mapping for k in range(13)] == [k in plain for k in range(13)]
        for found, wanted, of_log, of_list in (*kept, (mapping, plain, log, listed)):
            assert [*found.items()] == [*wanted.items()]
            assert (len(found), bool(found)) == (len(wanted), bool(wanted))
            assert found == wanted
            assert of_log == of_list
            assert (len(of_log), [*of_log], of_log[1:3]) == (len(of_list), of_list, tuple(of_list[1:3]))
            assert [*reversed(of_log)] == of_list[::-1]
            assert [of_log[n:][:2] for n in range(len(of_list))] == [
                tuple(of_list[n:][:2]) for n in range(len(of_list))
            ]
            assert [of_log[-n] for n in range(1, len(of_list) + 1)] == of_list[::-1]


def test_what_is_not_there_is_told():
    with pytest.raises(KeyError):
        Layers({1: 2}, {})[2]
    taken_out = Layers({1: 2}, {})
    del taken_out[1]
    with pytest.raises(KeyError):
        taken_out[1]
    with pytest.raises(IndexError):
        Log([1])[1]
