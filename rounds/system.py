"""What the system is asked for beyond plain files: locks, sync, owner, links, modes, signals, the terminal.

The bodies are POSIX. What Windows still lacks is in `LACKING_ON_WINDOWS`, and nothing else in the program asks
which system it runs on. Each function raises `OSError` when the system refuses, and `RoundsError` on Windows.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, Protocol

from rounds.errors import RoundsError

#: Functions of this module that have no body on Windows yet, and what each would have to do there.
LACKING_ON_WINDOWS: Final = {
    "keep_others_from_writing": "new files cannot be kept from others' writing",
    "let_read": "a file cannot be shared with just those who may read another",
    "is_ours": "the owner of a file cannot be told",
    "make_folder": "a folder cannot be shared with just those whom the colony's folder lets in",
    "open_file": "a file cannot be opened without following links",
    "read_at": "a file cannot be read from a byte on",
    "sync": "content cannot be brought to the disk for certain",
    "sync_folder": "the names in a folder cannot be brought to the disk for certain",
    "lock": "a file cannot be locked until its process ends",
    "on_request_to_end": "a closed window is not heard of",
    "terminal_is_there": "a terminal that is gone is not noticed",
    "terminal_is_ours": "a program put into the background is not noticed",
    "stop_until_woken": "a program cannot be put to sleep",
    "take_keys_raw": "keys cannot be had one by one",
    "set_terminal_modes": "the terminal cannot be given back as it was",
}

#: What file systems that cannot sync a folder (some network shares, memory sticks) answer: then it need not be.
_NO_FOLDER_SYNC: Final = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EBADF})
#: So many files of one name, told apart by a number.
_MOST_NAMES: Final = 999
_MACHINE_ID: Final = (Path("/etc/machine-id"), Path("/var/lib/dbus/machine-id"))


def _lacking(function: str) -> RoundsError:
    return RoundsError(f"rounds does not run on Windows yet: {LACKING_ON_WINDOWS[function]}. Use Linux or macOS.")


# Who may do what


def keep_others_from_writing() -> None:
    """Whatever umask there is, not everybody may write what this process makes from now on."""
    if sys.platform == "win32":
        raise _lacking("keep_others_from_writing")
    os.umask(os.umask(0o077) | 0o002)


def is_ours(status: os.stat_result) -> bool:
    """Whether a file or folder belongs to this user, and no one else may write it."""
    if sys.platform == "win32":
        raise _lacking("is_ours")
    return status.st_uid == os.geteuid() and not status.st_mode & 0o022


def make_folder(path: str, mode: int) -> None:
    """Make a folder with just this mode, whatever the umask, so that a group the keeper let in can share it."""
    if sys.platform == "win32":
        raise _lacking("make_folder")
    os.mkdir(path, mode)  # noqa: PTH102
    made = stat.S_IMODE(os.lstat(path).st_mode)
    if made & 0o777 != mode:
        os.chmod(path, made & ~0o777 | mode)  # noqa: PTH101


class Readable(Protocol):
    """The part of `os.stat_result` that says who can read a file."""

    @property
    def st_mode(self) -> int: ...
    @property
    def st_gid(self) -> int: ...


def let_read(handle: int, like: Readable) -> None:
    """Let the group and the others read an open file as they may read another one, by its status.

    Where this user may not give it to that group, its own group may read it only if everybody may.
    """
    if sys.platform == "win32":
        raise _lacking("let_read")
    readable = like.st_mode & 0o044
    if os.fstat(handle).st_gid != like.st_gid:
        try:
            os.fchown(handle, -1, like.st_gid)
        except OSError:
            readable = 0o044 if readable & 0o004 else 0
    os.fchmod(handle, 0o600 | readable)


def make_folders(folder: Path, mode: int = 0o777) -> None:
    """Make a folder and those above it that are lacking, by the umask; their names are on the disk."""
    lacking = [one for one in (folder, *folder.parents) if not os.path.exists(one)]  # noqa: PTH110 (it raises nothing)
    for one in reversed(lacking):
        one.mkdir(mode, exist_ok=True)
        with contextlib.suppress(PermissionError):  # a folder that this user may write in, but not look into
            sync_folder(one.parent)


# Files


def open_file(path: str | Path, flags: int, mode: int = 0o600, *, follow_links: bool = False) -> int:
    """Open a file by the flags of `os.open`; its handle, which no other program inherits.

    A link is refused, and a pipe does not keep the caller waiting.
    """
    if sys.platform == "win32":
        raise _lacking("open_file")
    no_follow = 0 if follow_links else os.O_NOFOLLOW
    return os.open(path, flags | no_follow | os.O_CLOEXEC | os.O_NONBLOCK, mode)


def content_of(path: Path, most: int) -> bytes:
    """The content of a file, up to `most` bytes. Raises `OSError`, also for a larger one, a link, a pipe."""
    handle = open_file(path, os.O_RDONLY)
    with open(handle, "rb") as file:  # noqa: PTH123 (a handle, not a path)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "it is no file", str(path))
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, os.strerror(errno.EFBIG), str(path))
    return content


def write_new_file(folder: Path, stem: str, suffix: str, content: bytes) -> Path:
    """Write a file that is not there yet, and its path once it is on the disk.

    Nothing is written over and no link is followed: where the name is taken, `stem-2` and so on is. It has its
    name once it is whole, so that a power cut leaves no half of it under that name.
    """
    draft = folder / f".{stem}{suffix}.{os.getpid()}"
    with contextlib.suppress(FileNotFoundError):  # left by an earlier run
        draft.unlink()
    handle = open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        try:
            write_all(handle, content)
            sync(handle)
        finally:
            os.close(handle)
        for number in range(1, _MOST_NAMES + 1):
            path = folder / f"{stem}{f'-{number}' if number > 1 else ''}{suffix}"
            with contextlib.suppress(FileExistsError):
                name_finished_file(draft, path)
                sync_folder(folder)
                return path
    finally:
        with contextlib.suppress(OSError):
            draft.unlink()
    raise FileExistsError(errno.EEXIST, f"there are {_MOST_NAMES} files of that name already", str(folder / stem))


def write_all(handle: int, content: bytes) -> None:
    """Write the whole content to an open file."""
    while content:
        content = content[os.write(handle, content) :]


def read_at(handle: int, size: int, offset: int) -> bytes:
    """Up to `size` bytes of an open file from `offset`; fewer at its end."""
    if sys.platform == "win32":
        raise _lacking("read_at")
    return os.pread(handle, size, offset)


def sync(handle: int) -> None:
    """Return once the content of an open file is on the disk."""
    if sys.platform == "win32":
        raise _lacking("sync")
    if sys.platform == "darwin":
        import fcntl

        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)  # there, fsync stops at the drive's own memory
    else:
        os.fdatasync(handle)


def sync_folder(path: str | Path) -> None:
    """Return once the names in a folder are on the disk, where that can be asked for."""
    if sys.platform == "win32":
        raise _lacking("sync_folder")
    handle = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise
    finally:
        os.close(handle)


def name_finished_file(draft: Path, path: Path) -> None:
    """Give a finished file its name at once. Raises `FileExistsError` when there is one of that name."""
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except OSError:
        # Sticks and some network folders know no hard links; a name taken by now is still refused.
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644))
        draft.replace(path)


def lock(handle: int) -> bool:
    """Lock an open file until it is closed or the process ends, however it ends; False when another holds it."""
    if sys.platform == "win32":
        raise _lacking("lock")
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
            return False
        raise
    return True


# The machine and its terminal


def machine_id() -> str:
    """What this machine is known by, for hashing only; empty when it does not say."""
    for file in _MACHINE_ID:
        try:
            if found := file.read_text("ascii").strip():
                return found
        except (OSError, ValueError):
            continue
    return ""


def on_request_to_end(call: Callable[[], None]) -> None:
    """Call this when the window is closed, or the process told to end or interrupted.

    Raises `ValueError` off the main thread.
    """
    if sys.platform == "win32":
        raise _lacking("on_request_to_end")
    import signal  # only the screens listen

    for number in (signal.SIGHUP, signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda _number, _frame: call())


def terminal_is_there(handle: int) -> bool:
    """Whether the terminal behind an open handle is still there."""
    if sys.platform == "win32":
        raise _lacking("terminal_is_there")
    import select

    gone = select.POLLHUP | select.POLLERR | select.POLLNVAL
    try:
        poll = select.poll()
        poll.register(handle, gone)
        if any(event & gone for _, event in poll.poll(0)):
            return False
        os.tcgetpgrp(handle)
    except OSError as error:
        # A terminal that does not govern this process (begun by a supervisor, say) answers so, and is there.
        return error.errno == errno.ENOTTY and os.isatty(handle)
    return True


def terminal_is_ours(handle: int) -> bool:
    """Whether this process is in front at its terminal. One that does not govern it (a supervisor's) is."""
    if sys.platform == "win32":
        raise _lacking("terminal_is_ours")
    try:
        return os.tcgetpgrp(handle) == os.getpgrp()
    except OSError:
        return True


def stop_until_woken() -> None:
    """Sleep until somebody wakes this process (`fg`, SIGCONT)."""
    if sys.platform == "win32":
        raise _lacking("stop_until_woken")
    import signal

    os.kill(os.getpid(), signal.SIGSTOP)


def take_keys_raw(handle: int, local: Callable[[int], int], entered: Callable[[int], int]) -> list[Any] | None:
    """Have each key at once. `local` and `entered` change the terminal's local and input modes.

    The modes that it had before; None where it is no terminal.
    """
    if sys.platform == "win32":
        raise _lacking("take_keys_raw")
    import termios
    import tty

    try:
        before, modes = termios.tcgetattr(handle), termios.tcgetattr(handle)
        modes[tty.LFLAG], modes[tty.IFLAG] = local(modes[tty.LFLAG]), entered(modes[tty.IFLAG])
        modes[tty.CC][termios.VMIN] = 1
        termios.tcsetattr(handle, termios.TCSANOW, modes)
    except termios.error:
        return None
    return before


def set_terminal_modes(handle: int, modes: list[Any]) -> None:
    """Give a terminal the modes that it had."""
    if sys.platform == "win32":
        raise _lacking("set_terminal_modes")
    import termios

    with contextlib.suppress(termios.error):
        termios.tcsetattr(handle, termios.TCSANOW, modes)
