"""``python -m cardref.report DIR``: write the schemas of the report and the baseline into a directory."""

import sys
from pathlib import Path

from cardref.report.shapes import schema_files

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "schemas")
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schema_files().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
