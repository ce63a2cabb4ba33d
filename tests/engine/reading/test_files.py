"""What is read of a file that a grower names: all of it, but nothing without end."""

import errno
from pathlib import Path

import pytest

from engine.reading.files import read_text, read_whole


def test_a_file_is_read_whole_and_its_lines_end_alike(tmp_path: Path):
    path = tmp_path / "table.csv"
    path.write_bytes(b"\xef\xbb\xbfa,b\r\n1,2\r\n3,4")
    assert read_text(path) == "a,b\n1,2\n3,4"
    assert read_whole(path, 16) == path.read_bytes()


def test_a_device_and_what_is_too_large_are_refused(tmp_path: Path):
    with pytest.raises(OSError, match="device") as told:
        read_whole(Path("/dev/zero"))
    assert told.value.errno == errno.ENODEV
    (tmp_path / "long").write_bytes(b"x" * 11)
    with pytest.raises(OSError, match="larger") as told:
        read_whole(tmp_path / "long", 10)
    assert told.value.errno == errno.EFBIG
