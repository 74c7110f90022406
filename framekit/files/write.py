"""Documents written to a folder, all or none.

Each file is first written whole under a name of its own in the target folder and flushed to the
disk; only when all are there do they take the old files' places, one atomic replacement each. If
anything fails or the run is interrupted, the old files are put back and nothing else is left.
"""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from framekit.errors import Fault, Where, WriteError
from framekit.files.model import Document, WrittenFile
from framekit.files.naming import is_plain_name

_REMEDIES: Mapping[int, str] = {
    errno.ENOSPC: "Free some space there, or choose another folder.",
    errno.EACCES: "Ask for the right to write there, or choose another folder.",
    errno.EPERM: "Ask for the right to write there, or choose another folder.",
    errno.EROFS: "That disk is read-only: choose another folder.",
    errno.ENOTDIR: "A file stands where a folder should be: rename it, or choose another folder.",
    errno.EEXIST: "A file stands where a folder should be: rename it, or choose another folder.",
    errno.EISDIR: "A folder stands where the file should go: rename it, or choose another folder.",
}


@dataclass
class _Staged:
    """One file on its way: its target, the whole new file beside it and a copy of the old one.

    `copied` tells that there was an old file, and `begun` that the new one may have its place.
    """

    target: Path
    new: Path
    old: Path
    copied: bool = field(default=False)
    begun: bool = field(default=False)


def write_files(
    documents: Mapping[str, Iterable[Document]],
    folder: Path,
    elsewhere: Mapping[str, tuple[Path, Document]] = MappingProxyType({}),
) -> tuple[WrittenFile, ...]:
    """The files written to `folder`, in order, from the documents of each backend by its name.

    The folder is made if it is not there; other files in it are left alone. `elsewhere` has
    documents by name that go to folders of their own, with all others or not at all.

    Raises:
        WriteError: a name is unsafe or doubled, or a file or folder cannot be written. Then the
            folder's files are as they were, or the message names the copies of those that could
            not be put back.
    """
    made = [(backend, folder, d) for backend, several in documents.items() for d in several]
    made += [(backend, other, document) for backend, (other, document) in elsewhere.items()]
    for home in dict.fromkeys(home for _, home, _ in made):
        _refuse_bad_names([d for _, other, d in made if other == home], home)
    staged: list[_Staged] = []
    new_folders: list[Path] = []
    place = folder
    try:
        new_folders += [p for p in (folder, *folder.parents) if not p.exists()]
        folder.mkdir(parents=True, exist_ok=True)
        for _, home, document in made:
            place = home / document.name
            _stage(place, document.data, staged)
        for file in staged:
            place = file.target
            file.begun = True
            file.new.replace(place)
    except BaseException as error:
        try:
            lost = _put_back(staged)
        finally:
            _remove_empty(new_folders)
        if isinstance(error, OSError):
            raise _write_error(place, error, lost) from error
        raise
    _sweep(staged)
    for home in dict.fromkeys(home for _, home, _ in made):
        _flush_folder(home)
    return tuple(
        WrittenFile(home / d.name, backend, hashlib.sha256(d.data).hexdigest())
        for backend, home, d in made
    )


def _remove_empty(folders: list[Path]) -> None:
    """Remove folders made for nothing, the deepest first; one in use stays, with those above."""
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:  # it was not made either, or it is in use
            continue


def _stage(target: Path, data: bytes, staged: list[_Staged]) -> None:
    """Write the new file whole beside its target; keep a copy of the old."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
    # A name that no other run uses; it never shows in what is written.
    token = secrets.token_hex(6)
    file = _Staged(target, target.with_name(f".{token}.new"), target.with_name(f".{token}.old"))
    # In the list before anything is on the disk, so that an interruption leaves nothing there.
    staged.append(file)
    with file.new.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    if target.exists() or target.is_symlink():
        shutil.copy2(target, file.old, follow_symlinks=False)
        file.copied = True


def _put_back(staged: list[_Staged]) -> list[_Staged]:
    """Undo every replacement and return the files that could not be put back.

    Each of those keeps the copy of its old content, which is the only one.
    """
    lost = [file for file in staged if file.begun and not _is_put_back(file)]
    _sweep([file for file in staged if file not in lost])
    return lost


def _is_put_back(file: _Staged) -> bool:
    """Put the old file in its place again and return whether it is there."""
    try:
        _restore(file)
    except KeyboardInterrupt:  # the old file matters more: once again
        return _is_put_back(file)
    except OSError:
        return False
    return True


def _restore(file: _Staged) -> None:
    """Put the old file in its place, or remove the new one where there was none before."""
    if file.new.exists():  # it never took the old file's place
        return
    if not file.copied:
        file.target.unlink(missing_ok=True)
        return
    try:
        file.old.replace(file.target)
    except FileNotFoundError:  # it was put back before an interruption
        return


def _sweep(staged: list[_Staged]) -> None:
    """Remove what is left of staging, even if interrupted; what cannot be removed is harmless."""
    interruption = None
    for path in [path for file in staged for path in (file.new, file.old)]:
        for _ in range(2):
            try:
                path.unlink(missing_ok=True)
                break
            except OSError:
                break
            except KeyboardInterrupt as error:
                interruption = error
    if interruption is not None:
        raise interruption


def _flush_folder(folder: Path) -> None:
    """Flush the folder's own entries where the system can; the files' bytes already are."""
    if os.name != "posix":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:  # a folder that may be written to, but not read
        return
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)


def _refuse_bad_names(documents: list[Document], folder: Path) -> None:
    seen: set[str] = set()
    for document in documents:
        name = document.name
        if not is_plain_name(name):
            raise WriteError(
                Fault(
                    "file-name",
                    f"{name!r} is not a plain file name, so nothing was written.",
                    Where(file=str(folder)),
                    "Make names with safe_name and an ending such as .svg.",
                )
            )
        if name.casefold() in seen:
            raise WriteError(
                Fault(
                    "file-name",
                    f"Two files would be named {name}, so nothing was written.",
                    Where(file=str(folder)),
                    "Give frames and sets ids that differ by more than case.",
                )
            )
        seen.add(name.casefold())


def _write_error(place: Path, error: OSError, lost: list[_Staged]) -> WriteError:
    reason = (error.strerror or type(error).__name__).lower()
    remedy = _REMEDIES.get(error.errno or 0, "Choose another folder, or mend the disk.")
    state = "The files there are as they were."
    if lost:
        copies = [f"{f.target.name} is in {f.old.name}" for f in lost if f.copied]
        new = [f"{f.target.name} is new" for f in lost if not f.copied]
        state = f"Not all files there could be put back: {', '.join([*copies, *new])}."
        remedy += " Rename the copies to what they were." if copies else ""
    return WriteError(
        Fault(
            "write",
            f"{place} cannot be written: {reason}. {state}",
            Where(file=str(place)),
            remedy,
        )
    )
