"""`python -m slype`: the same as the `slype` command, for when scripts are not on the path."""

import sys

if __name__ == "__main__":
    try:
        from slype.cli.commands import main

        sys.exit(main())
    except KeyboardInterrupt:  # before there was anything to stop
        sys.exit(130)
