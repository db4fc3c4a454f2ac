"""Which slype this is, for whatever is signed with it."""

import sys

VERSION: str = sys.modules[__package__].__version__  # an import of the package itself would be an arrow up
