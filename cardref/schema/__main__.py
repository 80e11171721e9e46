"""``python -m cardref.schema DIR``: write the schemas of all file types into a directory."""

import sys
from pathlib import Path

from cardref.schema.generate import rendered, schema_names

if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "schemas")
    folder.mkdir(parents=True, exist_ok=True)
    for name, document in schema_names().items():
        (folder / name).write_text(rendered(document), encoding="utf-8", newline="\n")
