"""Where the command line begins. Little is loaded before the first line is guarded: Ctrl-C may come at any time."""

from __future__ import annotations

import atexit
import gc
import sys

__all__ = ("main",)


def main() -> None:
    """Run the command line and exit: 0 done, 1 the input cannot be used or the run was stopped, 2 wrong usage."""
    collecting = gc.isenabled()
    gc.disable()  # a short-lived process: looking for garbage only costs time, now and when it ends
    atexit.register(gc.freeze)
    try:
        from glazecalc.cli.verbs import run

        code = run()
    except KeyboardInterrupt:
        sys.stderr.write("stopped.\n")
        code = 1
    finally:
        if collecting:
            gc.freeze()
            gc.unfreeze()  # all that lives counts as old: else the next line would look through the whole of it
            gc.enable()
    if code:
        sys.exit(code)
