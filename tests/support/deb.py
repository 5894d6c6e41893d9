"""The files inside a Debian package, by dpkg where it is installed and by hand elsewhere."""

from __future__ import annotations

import shutil
import subprocess
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Final

_MAGIC: Final = b"!<arch>\n"
_HEADER: Final = 60


@contextmanager
def open_data_archive(package: Path) -> Iterator[tarfile.TarFile]:
    """The package's files as a tar archive that can be read once, from front to back."""
    if shutil.which("dpkg-deb") is None:
        with package.open("rb") as stream:
            seek_data_member(stream)
            with tarfile.open(fileobj=stream, mode="r|*") as archive:
                yield archive
        return
    command = ["dpkg-deb", "--fsys-tarfile", str(package)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as process:
        try:
            with tarfile.open(fileobj=process.stdout, mode="r|") as archive:
                yield archive
        finally:
            process.kill()  # the rest of a large package is not wanted


def seek_data_member(stream: IO[bytes]) -> str:
    """Move to the content of the member ``data.tar.*`` of an ar archive; its name.

    Raises
    ------
    ValueError
        If the stream is no ar archive or has no such member.
    """
    if stream.read(len(_MAGIC)) != _MAGIC:
        raise ValueError("expected an ar archive")
    while len(header := stream.read(_HEADER)) == _HEADER:
        name = header[:16].decode("ascii").strip().rstrip("/")
        if name.startswith("data.tar"):
            return name
        size = int(header[48:58])
        stream.seek(size + size % 2, 1)  # members start at even places
    raise ValueError("expected a member data.tar in the archive")
