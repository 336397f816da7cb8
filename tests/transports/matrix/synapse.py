"""A Synapse that ends with whoever started it: run as a program, it lives until its stdin closes.

python -m tests.transports.matrix.synapse CONFIG
"""

from __future__ import annotations

import os
import sys
import threading


def _end_with_stdin() -> None:
    sys.stdin.buffer.read()
    os._exit(0)  # nothing here outlives the tests, so nothing has to be put in order


def main() -> None:
    """Serve as the configuration file says."""
    threading.Thread(target=_end_with_stdin, daemon=True).start()
    from synapse.app.homeserver import main as serve

    sys.argv = ["synapse", "--config-path", sys.argv[1]]
    serve()


if __name__ == "__main__":
    main()
