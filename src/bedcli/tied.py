"""Processes that end with the one that started them, even when that one is killed outright.

`python -m bedcli.tied MODULE PARENT` runs a module so tied; PARENT is the process id of whoever starts it.
"""

from __future__ import annotations

import ctypes
import os
import runpy
import signal
import sys
import threading
import time

_PR_SET_PDEATHSIG = 1
_LOOK_EVERY = 1.0


def tie(parent: int, told: signal.Signals = signal.SIGKILL) -> None:
    """End this process when its parent ends: by the kernel on Linux, by looking each second anywhere."""
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(_PR_SET_PDEATHSIG, int(told), 0, 0, 0)
    if os.getppid() != parent:  # it ended before the kernel was told
        os._exit(1)
    threading.Thread(target=_look, args=(parent,), daemon=True, name="tied").start()


def _look(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(_LOOK_EVERY)
    os._exit(1)


def main() -> None:
    """Run a module tied to the process that asked for it."""
    module, parent = sys.argv[1], int(sys.argv[2])
    tie(parent)
    sys.argv = [module]
    runpy.run_module(module, run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    main()
