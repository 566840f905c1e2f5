"""Where the command line begins. Little is loaded before the first line is guarded: Ctrl-C may come at any time."""

from __future__ import annotations

import sys

__all__ = ("main",)


def main() -> None:
    """Run the command line and exit: 0 done, 1 the input cannot be used or the run was stopped, 2 wrong usage."""
    try:
        from glazecalc.cli.verbs import run

        code = run()
    except KeyboardInterrupt:
        sys.stderr.write("stopped.\n")
        code = 1
    if code:
        sys.exit(code)
