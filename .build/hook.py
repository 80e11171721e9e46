"""Puts the bundled reference into the wheel: the dataset compiled to JSON.

The compiling itself is :func:`cardref.storage.bundle.compile_dataset`, taken from the tree that is being
built; what it needs at run time is therefore required for building too. An editable install reads the YAML
of the checkout, so nothing is done for it.
"""

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

BUNDLED = "cardref/_bundled"


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]  # the parameter is hatchling's own business
    """Called by hatchling before and after it writes a wheel."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile the data beside the tree, and tell hatchling which file goes where."""
        if version == "editable":
            return
        root = Path(self.root)
        sys.path.insert(0, str(root))
        sys.dont_write_bytecode = True
        from cardref.storage.bundle import compile_dataset  # noqa: PLC0415 - found only now, in this tree

        self._made = tempfile.TemporaryDirectory(prefix="cardref-build-")
        included: dict[str, str] = build_data["force_include"]
        for name, content in compile_dataset(root / "dataset").items():
            path = Path(self._made.name, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
            included[str(path)] = f"{BUNDLED}/{name}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:  # noqa: ARG002 - hatchling's signature
        """Take the compiled files away again."""
        if version != "editable":
            self._made.cleanup()
