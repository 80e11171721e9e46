"""``python -m cardref``: the same as the command ``cardref``."""

import sys

from cardref.cli import main

if __name__ == "__main__":
    sys.exit(main())
