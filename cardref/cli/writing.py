"""What verbs that write do first: finish a change of several files that was cut off."""

import sys
from pathlib import Path

from cardref.errors import DatasetError
from cardref.storage.atomic import finish
from cardref.storage.unfinished import read
from cardref.text import count_of, quoted, visible

__all__ = ["finish_first"]


def finish_first(root: Path, *, dry: bool = False) -> bool:
    """Finish what was cut off, and say so on standard error; whether there was anything to finish.

    Nothing is written where ``dry``.

    Errors: DatasetError where it cannot be finished, or may not, since nothing is to be written.
    """
    if dry:
        if read(root) is not None:
            raise DatasetError(
                f"a change of {quoted(str(root))} was cut off, or is under way: run the command without "
                "--diff or --check, which finishes it first"
            )
        return False
    done = finish(root)
    if done:
        print(
            f"a change of {visible(str(root))} had been cut off and is finished now: "
            f"{count_of(len(done), 'file')} put in place",
            file=sys.stderr,
        )
    return bool(done)
