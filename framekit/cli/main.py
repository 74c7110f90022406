"""The command line's entry: reads the words, runs one command, turns errors to exit codes.

Exit codes: 0 all well, 1 a check failed, 2 the input is wrong, 3 our fault or a plug-in's, 130
interrupted.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import NoReturn

from framekit.errors import FramekitError

COMMANDS = {
    "new": "write a commented starter spec for a body and a size",
    "check": "solve a spec, verify it and print a table",
    "build": "write the cut files of a spec",
    "explain": "show how a quantity or a check's margin follows from the spec",
    "allowed": "find the range of an input that keeps every check passing",
    "coupon": "write a test piece, or turn what was measured on it into thickness, kerf and fit",
    "schema": "print the JSON Schema of specs or of results",
}


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints are one sentence and a remedy."""

    def error(self, message: str) -> NoReturn:
        """Print what is wrong with the words and leave with 2."""
        self.exit(2, f"framekit: {message}. Try '{self.prog} --help'.\n")


def main(words: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    arguments = list(sys.argv[1:] if words is None else words)
    # framekit uses no pydantic plug-ins, and looking for them costs a scan of all packages.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    place = next((i for i, word in enumerate(arguments) if not word.startswith("-")), None)
    try:
        if place is None or arguments[place] not in COMMANDS:
            return _without_command(arguments)
        if place and _general_parser().parse_args(arguments[:place]).version:
            return _print_version()
        name = arguments[place]
        # First, from here: deep in other imports pydantic's own takes four times as long, since
        # Python then asks the system for a piece of its stack at nearly every call.
        import_module("framekit.spec.model")
        module = import_module(f"framekit.cli.{name}")
        parser = _Parser(prog=f"framekit {name}", description=_sentence(name))
        module.add_arguments(parser)
        # Names and options in any order, which subparsers of argparse do not take.
        options = parser.parse_intermixed_args(arguments[place + 1 :])
    except SystemExit as leaving:
        return int(leaving.code or 0)
    command: Callable[[argparse.Namespace], int] = module.run
    return _guarded(command, options)


def _general_parser() -> _Parser:
    """The parser of what stands before a command, and of words that name none."""
    parser = _Parser(
        prog="framekit",
        description="From a short YAML spec to cut files for a to-scale slotted frame.",
    )
    parser.add_argument("--version", action="store_true", help="print the version")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for name, summary in COMMANDS.items():
        commands.add_parser(name, help=summary)
    return parser


def _without_command(arguments: Sequence[str]) -> int:
    """Answer words that name no command: help, the version, or what is wrong with them."""
    parser = _general_parser()
    if parser.parse_args(arguments).version:
        return _print_version()
    parser.print_help()
    return 2


def _print_version() -> int:
    from framekit import __version__

    print(f"framekit {__version__}")
    return 0


def _sentence(command: str) -> str:
    summary = COMMANDS[command]
    return summary[0].upper() + summary[1:] + "."


def run() -> NoReturn:
    """Run the command line as a process of its own and leave with its exit code.

    Such a process is short: collecting garbage while modules load and when they go would cost it
    a sixth of its time.
    """
    gc.disable()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal or pipe in an old encoding shows '?' for ± and the lines of tables.
            stream.reconfigure(errors="replace")
    try:
        code = main()
    except KeyboardInterrupt:
        code = 130
    gc.freeze()
    sys.exit(code)


def _guarded(command: Callable[[argparse.Namespace], int], options: argparse.Namespace) -> int:
    try:
        code = command(options)
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except FramekitError as error:
        print(error, file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        print("framekit: interrupted; nothing was left half-written.", file=sys.stderr)
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 141
    except OSError as error:
        print(f"framekit: cannot write the output: {error.strerror}.", file=sys.stderr)
        return 3
    except (RecursionError, MemoryError):
        print("framekit: the spec asks for more than this machine has.", file=sys.stderr)
        return 3
