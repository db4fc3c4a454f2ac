"""The `slype` command, and `python -m slype`, the same for when scripts are not on the path.

Every worker of the studio loads what the script that started it loads at its head: so that is this and nothing more.
"""

import sys


def main(argv: list[str] | None = None) -> int:
    """Run one command (see `cli.commands.main`) and return its exit status."""
    try:
        from slype.cli import commands

        return commands.main(argv)
    except KeyboardInterrupt:  # before there was anything to stop
        return 130


if __name__ == "__main__":
    sys.exit(main())
