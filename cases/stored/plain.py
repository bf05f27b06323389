"""Files read to their end: what is none is refused, and nothing is waited for."""

import errno
import os
import stat
from pathlib import Path


class NoFile(OSError):
    """What stands there is a folder, a pipe or a device; strerror says which."""


def content(path: Path | str, most: int = -1) -> bytes:
    """Bytes of a file, at most so many of them (-1: all); a link is followed. Raises NoFile, and OSError where it can't be read."""
    said = odd(path)
    if said:
        raise NoFile(errno.EINVAL, f"it is {said}", str(path))
    with open(path, "rb") as stream:
        return stream.read(most)


def odd(path: Path | str, follow: bool = True) -> str | None:
    """In words what a path is that is no file, None for a file; follow: of a link, what it leads to. Raises OSError where nothing is."""
    mode = os.stat(path, follow_symlinks=follow).st_mode
    if stat.S_ISREG(mode):
        return None
    return "a folder" if stat.S_ISDIR(mode) else "a link" if stat.S_ISLNK(mode) else "a pipe or a device"
