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
    """One file on its way: its target, the whole new file beside it and a copy of the old one."""

    target: Path
    document: Document
    new: Path
    old: Path
    replaced: bool = field(default=False)


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
            folder's files are as they were.
    """
    made = [(backend, folder, d) for backend, several in documents.items() for d in several]
    _refuse_bad_names([document for _, _, document in made], folder)
    for backend, (other, document) in elsewhere.items():
        _refuse_bad_names([document], other)
        made.append((backend, other, document))
    staged: list[_Staged] = []
    place = folder
    new_folders = [p for p in (folder, *folder.parents) if not p.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for _, home, document in made:
            place = home / document.name
            staged.append(_stage(place, document))
        for file in staged:
            place = file.target
            file.new.replace(place)
            file.replaced = True
    except BaseException as error:
        _put_back(staged)
        _remove_empty(new_folders)
        if isinstance(error, OSError):
            raise _write_error(place, error) from error
        raise
    _sweep(staged)
    for home in dict.fromkeys(home for _, home, _ in made):
        _flush_folder(home)
    return tuple(
        WrittenFile(home / d.name, backend, hashlib.sha256(d.data).hexdigest())
        for backend, home, d in made
    )


def _remove_empty(folders: list[Path]) -> None:
    """Remove folders made for nothing, the deepest first; one that is in use stays."""
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:
            return


def _stage(target: Path, document: Document) -> _Staged:
    """The new file written whole beside its target, and a copy kept of the old."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
    # A name that no other run uses; it never shows in what is written.
    token = secrets.token_hex(6)
    file = _Staged(
        target,
        document,
        target.with_name(f".{token}.new"),
        target.with_name(f".{token}.old"),
    )
    try:
        with file.new.open("xb") as stream:
            stream.write(document.data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists() or target.is_symlink():
            shutil.copy2(target, file.old, follow_symlinks=False)
    except BaseException:
        _sweep([file])
        raise
    return file


def _put_back(staged: list[_Staged]) -> None:
    """Undo every replacement; a file that cannot be put back keeps its copy beside it."""
    for file in staged:
        if not file.replaced:
            continue
        try:
            if file.old.exists() or file.old.is_symlink():
                file.old.replace(file.target)
            else:
                file.target.unlink()
        except OSError:
            staged = [other for other in staged if other is not file]
    _sweep(staged)


def _sweep(staged: list[_Staged]) -> None:
    """Remove what is left of staging; what cannot be removed is harmless."""
    for file in staged:
        for path in (file.new, file.old):
            try:
                path.unlink(missing_ok=True)
            except OSError:
                continue


def _flush_folder(folder: Path) -> None:
    """Flush the folder's own entries where the system can; the files' bytes already are."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
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


def _write_error(place: Path, error: OSError) -> WriteError:
    reason = (error.strerror or type(error).__name__).lower()
    remedy = _REMEDIES.get(error.errno or 0, "Choose another folder, or mend the disk.")
    return WriteError(
        Fault(
            "write",
            f"{place} cannot be written: {reason}. The files there are as they were.",
            Where(file=str(place)),
            remedy,
        )
    )
