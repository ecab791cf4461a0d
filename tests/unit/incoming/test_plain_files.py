"""Only plain files are opened, of a size that is stated; nothing is waited for."""

import os
import socket

import pytest

from jointmap.errors import Refused
from jointmap.incoming import Delivery, open_plain_file, read_plain_file
from jointmap.incoming.size_limits import DELIVERY_BYTES, DELIVERY_ROWS, Limit

SMALL = Limit("limit.file_bytes", 10, "bytes")


def link(path):
    (path.parent / "other").write_text("secret")
    path.symlink_to(path.parent / "other")


def sock(path):
    made = socket.socket(socket.AF_UNIX)
    made.bind(str(path))
    made.close()


ODD = {
    "link": (link, "file.link"),
    "link to nothing": (lambda p: p.symlink_to(p.parent / "none"), "file.link"),
    "link to a device": (lambda p: p.symlink_to("/dev/zero"), "file.link"),
    "pipe": (os.mkfifo, "a pipe"),
    "folder": (os.mkdir, "a folder"),
    "socket": (sock, "a socket"),
    "too large": (lambda p: p.write_bytes(b"x" * 11), "11"),
}


@pytest.mark.parametrize("name", ODD)
def test_what_is_no_plain_file_is_refused(tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)  # a socket's path must be short
    make, told = ODD[name]
    path = tmp_path / "joints.csv"
    make(path) if name != "socket" else sock(path.relative_to(tmp_path))
    with pytest.raises(Refused) as caught:
        read_plain_file(path, SMALL)
    (problem,) = caught.value.problems
    assert problem.file == "joints.csv"
    assert told in (problem.id, problem.values.get("kind"), problem.values.get("found"))


@pytest.mark.parametrize("size", [0, 1, 10])
def test_plain_file_is_read(tmp_path, size):
    path = tmp_path / "a"
    path.write_bytes(b"x" * size)
    assert read_plain_file(path, SMALL) == b"x" * size
    with open_plain_file(path) as file:
        assert file.read() == b"x" * size


def test_file_that_tells_no_size_is_read_to_the_limit():
    with pytest.raises(Refused):
        read_plain_file(__import__("pathlib").Path("/proc/self/status"), SMALL)


def test_name_that_is_no_text(tmp_path):
    path = tmp_path / os.fsdecode(b"joints_\xff.csv")
    path.write_bytes(b"x")
    with pytest.raises(Refused) as caught:
        read_plain_file(path)
    assert caught.value.problems[0].file == "joints_\\xff.csv"


def test_file_that_is_not_there(tmp_path):
    with pytest.raises(FileNotFoundError):
        read_plain_file(tmp_path / "none")


@pytest.mark.parametrize(
    ("brought", "id_"),
    [
        ({"size": DELIVERY_BYTES.most}, DELIVERY_BYTES.id),
        ({"rows": DELIVERY_ROWS.most}, DELIVERY_ROWS.id),
    ],
)
def test_delivery_is_counted_over_its_files(brought, id_):
    delivery = Delivery()
    delivery.add("a", **brought)
    with pytest.raises(Refused) as caught:
        delivery.add("b", **dict.fromkeys(brought, 1))
    assert (caught.value.problems[0].id, caught.value.problems[0].file) == (id_, "b")
