"""The modules on the way to the board, read together: Python looks for each of some four hundred on the disk.

A file beside this module's own compiled one keeps what Python compiled of them. A module is taken from it while its
source is as it was, by time and size, as Python judges its compiled files too. What is not there, or is another
Python's, is imported as ever and kept for the next time. Nobody has to know that the file is there.
"""

from __future__ import annotations

import marshal
import mmap
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

HOME = Path(__file__).parent / "__pycache__" / "board.modules"
"""Where this cannot be written, nothing is kept."""

Kept = tuple[str, int, int, str | None, list[str] | None, int, int]
"""A module's source, when that was touched (ns) and how long it is, its compiled file, a package's folders, and where
in the file its code begins and ends."""


class Loader(SourceFileLoader):
    """Python's own, which has the code already when it is first asked for it."""

    code: memoryview | None = None

    def get_code(self, fullname: str) -> CodeType | None:
        """The module's code."""
        code, self.code = self.code, None
        return super().get_code(fullname) if code is None else marshal.loads(code)


class Shelf:
    """Finds the modules that were kept, as Python asks for them."""

    def __init__(self, modules: Mapping[str, Kept], codes: memoryview) -> None:
        self.modules, self.codes = modules, codes

    def find_spec(self, name: str, _path: object = None, _target: ModuleType | None = None) -> ModuleSpec | None:
        """The module of that name, while its source is as it was."""
        if (kept := self.modules.get(name)) is None or not _still(kept):
            return None
        origin, _, _, cached, folders, begins, ends = kept
        loader = Loader(name, origin)
        loader.code = self.codes[begins:ends]
        spec = ModuleSpec(name, loader, origin=origin, is_package=folders is not None)
        spec.has_location, spec.cached = True, cached
        if folders is not None:
            spec.submodule_search_locations = list(folders)
        return spec


def _still(kept: Kept) -> bool:
    """Whether a source is as it was when its module was kept."""
    try:
        told = os.stat(kept[0])
    except OSError:
        return False
    return told.st_mtime_ns == kept[1] and told.st_size == kept[2]


@contextmanager
def together(home: Path = HOME) -> Iterator[None]:
    """Take from the file the modules that are imported meanwhile, and keep there those that were not in it."""
    shelf, before = _read(home), set(sys.modules)
    sys.meta_path.insert(0, shelf)
    try:
        yield
    finally:
        sys.meta_path.remove(shelf)
    found = {name: getattr(module, "__spec__", None) for name, module in sys.modules.items() if name not in before}
    new = {name: spec for name, spec in found.items() if spec is not None and type(spec.loader) is SourceFileLoader}
    if new and not sys.dont_write_bytecode:
        _write(home, shelf, new)


def _made_by() -> list[Any]:
    """What must be the same: the Python, and where it looks for modules, but for the folder of the call."""
    return [sys.version, sys.flags.optimize, sys.path[1:]]


def _read(home: Path) -> Shelf:
    """What the file keeps: a line of where its list begins, the codes, the list; nothing where it is not whole."""
    try:
        with open(home, "rb") as file:
            told = file.readline().split()
            if sys.platform == "win32":  # which replaces no file that is mapped
                file.seek(0)
                held = memoryview(file.read())
            else:
                held = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
        begins, ends = map(int, told)
        made_by, modules = marshal.loads(held[begins:ends]) if ends == len(held) else ([], {})
    except (OSError, ValueError, EOFError, TypeError):
        return Shelf({}, memoryview(b""))
    return Shelf(modules if made_by == _made_by() else {}, held)


def _write(home: Path, shelf: Shelf, new: Mapping[str, ModuleSpec]) -> None:
    """Keep these besides what is there still. The file is put in its place whole: others may be reading it."""
    mine = home.with_name(f"{home.name}.{os.getpid()}")
    modules: dict[str, Kept] = {}
    try:
        home.parent.mkdir(parents=True, exist_ok=True)
        with open(mine, "wb") as file:
            at = file.write(b"%20d %20d\n" % (0, 0))

            def put(name: str, about: tuple[str, int, int, str | None, list[str] | None], code: bytes) -> None:
                nonlocal at
                modules[name] = (*about, at, at + len(code))
                at += file.write(code)

            for name, kept in shelf.modules.items():
                if name not in new and _still(kept):
                    put(name, kept[:5], bytes(shelf.codes[kept[5] : kept[6]]))
            for name, spec in new.items():
                assert isinstance(spec.loader, SourceFileLoader)
                told, folders = os.stat(spec.loader.path), spec.submodule_search_locations
                about = (spec.loader.path, told.st_mtime_ns, told.st_size, spec.cached, folders and list(folders))
                put(name, about, marshal.dumps(spec.loader.get_code(name)))
            ends = at + file.write(marshal.dumps([_made_by(), modules]))
            file.seek(0)
            file.write(b"%20d %20d\n" % (at, ends))
        mine.replace(home)
    except (OSError, ImportError):
        with suppress(OSError):
            mine.unlink()
