"""Sheets → Files: every backend renders, then everything is written at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from framekit.errors import Fault, PluginError
from framekit.files.model import Document, Files
from framekit.files.naming import is_plain_name
from framekit.files.protocol import Backend
from framekit.files.release import refuse_unfit
from framekit.files.write import write_files
from framekit.plugins import BACKENDS, load
from framekit.sheets.model import Sheets


def write_sheets(
    sheets: Sheets,
    folder: str | Path,
    backends: Sequence[str],
    elsewhere: Mapping[str, tuple[Path, Document]] = MappingProxyType({}),
) -> Files:
    """The files of the named backends in `folder`, which is made when it is not there.

    Nothing is written until every backend has rendered; `elsewhere` is as in `write_files`.
    Raises BuildError or StockError where the sheets are not fit to be cut, as in `refuse_unfit`,
    UnknownNameError for an unknown backend, WriteError when a file cannot be written,
    PluginError when a backend breaks its contract.
    """
    refuse_unfit(sheets)
    rendered: dict[str, tuple[Document, ...]] = {}
    names: dict[str, str] = {}
    for name in dict.fromkeys(backends):
        backend: Backend = load(BACKENDS, name)
        rendered[name] = backend.render(sheets)
        for document in rendered[name]:
            if not is_plain_name(document.name) or document.name in names:
                raise PluginError(
                    Fault(
                        "backend-file-name",
                        f"the backend '{name}' names a file '{document.name}', which is no plain "
                        "file name or is taken by another",
                        hint="Report it to the backend's author.",
                    )
                )
            names[document.name] = name
    return Files(sheets, write_files(rendered, Path(folder), elsewhere))
