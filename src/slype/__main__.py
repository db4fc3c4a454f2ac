"""`python -m slype`: the same as the `slype` command, for when scripts are not on the path."""

import sys

from slype.cli.commands import main

if __name__ == "__main__":
    sys.exit(main())
