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
from importlib.machinery import ModuleSpec, SourceFileLoader

TYPE_CHECKING = False  # typing is imported with the rest
if TYPE_CHECKING:
    from collections.abc import Mapping
    from types import CodeType, ModuleType
    from typing import Any

Kept = tuple[str, int, int, str | None, list[str] | None, int, int]
"""A module's source, when that was touched (ns) and how long it is, its compiled file, a package's folders, and where
in the file its code begins and ends."""


class Loader(SourceFileLoader):
    """Python's own, which has the code already when it is first asked for it."""

    code: memoryview | None = None
    lacked: list[str]
    """Where it says that what was kept could not be read: it is kept anew."""

    def get_code(self, fullname: str) -> CodeType | None:
        """The module's code; Python's own where what was kept is no code, as a disk may leave it after a power cut."""
        code, self.code = self.code, None
        if code is not None:
            try:
                made = marshal.loads(code)
            except (ValueError, EOFError, TypeError, SystemError):
                made = None
            if type(made) is _CODE:
                return made
            self.lacked.append(fullname)
        return super().get_code(fullname)


_CODE: type[CodeType] = type(Loader.get_code.__code__)


class Shelf:
    """Finds the modules that were kept, as Python asks for them."""

    def __init__(self, modules: Mapping[str, Kept], codes: memoryview) -> None:
        self.modules, self.codes = modules, codes
        self.lacked: list[str] = []
        """What was asked for and is not to be had here."""

    def find_spec(self, name: str, _path: object = None, _target: ModuleType | None = None) -> ModuleSpec | None:
        """The module of that name, while its source is as it was."""
        if (kept := self.modules.get(name)) is None or not _still(kept):
            self.lacked.append(name)
            return None
        origin, _, _, cached, folders, begins, ends = kept
        loader = Loader(name, origin)
        loader.code, loader.lacked = self.codes[begins:ends], self.lacked
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


class Together:
    """While it is entered, the modules of a file are at hand, and those that were not in it are kept there at its end.

    It may be entered again before it was left: it began with the first, and ends with the first that leaves it.
    """

    def __init__(self, home: str | os.PathLike[str]) -> None:
        self.home = os.fspath(home)
        self._shelf: Shelf | None = None

    def begin(self) -> None:
        """Have the modules at hand, for who leaves it later."""
        if self._shelf is None:
            self._shelf = _read(self.home)
            sys.meta_path.insert(0, self._shelf)

    def __enter__(self) -> None:
        self.begin()

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if (shelf := self._shelf) is None:
            return
        sys.meta_path.remove(shelf)
        self._shelf = None
        if kind is None and not sys.dont_write_bytecode:
            found = {name: getattr(sys.modules.get(name), "__spec__", None) for name in shelf.lacked}
            new = {name: spec for name, spec in found.items() if spec and isinstance(spec.loader, SourceFileLoader)}
            if new:
                _write(self.home, shelf, new)


BOARD = Together(os.path.join(os.path.dirname(__file__), "__pycache__", "board.modules"))
"""Those of the board; where the file cannot be written, nothing is kept."""


def _made_by() -> list[Any]:
    """What must be the same: the Python, and where it looks for modules, but for the folder of the call."""
    return [sys.version, sys.flags.optimize, sys.path[1:]]


def _read(home: str) -> Shelf:
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


def _write(home: str, shelf: Shelf, new: Mapping[str, ModuleSpec]) -> None:
    """Keep these besides what is there still. The file is put in its place whole: others may be reading it."""
    mine = f"{home}.{os.getpid()}"
    modules: dict[str, Kept] = {}
    try:
        os.makedirs(os.path.dirname(home), exist_ok=True)
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
        os.replace(mine, home)
    except (OSError, ImportError):
        try:
            os.unlink(mine)
        except OSError:
            return
