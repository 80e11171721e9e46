"""Every sort of answer and every export, as one digest each: to be run in environments that must not differ.

``python tests/compat/everything.py FOLDER`` works in ``FOLDER``, which must be empty, and prints a line for
each command of :data:`COMMANDS` (its exit status, and a digest of all that it wrote) and for each file that
is there in the end. With ``--pure`` behind it the parts of PyYAML that need libyaml are hidden first, as on a
machine where PyYAML was built without it.
"""

import contextlib
import hashlib
import os
import sys
from pathlib import Path

__all__ = ["COMMANDS"]

CODE = "7K 2046/031"
COMMANDS = f"""
--version
--help
decode|{CODE}|7K 2O46/031|25B
decode|{CODE}|--format|json
decode|{CODE}|7k 2046/0?1|--format|csv
identify|--line|tidewrack|back-count=25|maker=quay-marl
identify|--line|tidewrack|back-count=25|--format|json
vet|maker=quay-marl|figure=lamp-diver|back=21A|code={CODE}
vet|lamp diver on 25B, bubble cracked|--format|json
show|quay-marl 25B
show|quay-marl 25B|--format|json
list|makers|--format|json
list|backs|maker=quay-marl|--format|csv
list|figures
explain|wave
explain|wave|--format|json
rules
rules|count-mismatch|--format|json
gaps|--line|tidewrack|--format|json
check|sample
check|faulty
check|faulty|--format|json
check|faulty|--format|sarif
check|faulty|--format|annotations
check|faulty|--since|sample
check|faulty|--write-baseline|baseline.json
gaps|--dataset|sample
gaps|--dataset|sample|--format|csv
compare|sample|faulty
compare|sample|faulty|--format|markdown
compare|sample|faulty|--format|json
retire|glossy-four|--reason|x|--diff|--dataset|sample
tables|export|tables|--dataset|sample
tables|import|tables|--diff|--dataset|sample
export|datapackage|package|--dataset|sample
export|sqlite|database|--dataset|sample
export|json|whole|--dataset|sample
export|schemas|schemas
init|begun|--line|Lantern Trail|--maker|Pell & Orrin
own|report|mine.yaml
own|report|mine.yaml|--format|json
fix|--diff|faulty
fix|faulty
fmt|--diff|sample
fmt|sample
check|sample|--fail-on|note
check|no-such-dataset
decode
""".strip().split("\n")


def _hide_libyaml() -> None:
    for name in ("yaml._yaml", "yaml.cyaml"):
        sys.modules[name] = None  # type: ignore[assignment] # what the import system takes for "there is none"


def _digest(*parts: bytes) -> str:
    return hashlib.sha256(b"\0".join(parts)).hexdigest()[:16]


def _faulty(folder: Path) -> None:
    """Slips of several sorts, some of them told from sets and mappings of many."""
    for path in sorted(folder.rglob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        for right, wrong in (("count: 4", "count: 5"), ("country:", "contry:"), ("pell-orrin", "pel-orrin")):
            text = text.replace(right, wrong)
        path.write_bytes(text.encode())


def _main(folder: str, *flags: str) -> int:
    if "--pure" in flags:
        _hide_libyaml()
    os.chdir(folder)
    from cardref.checks.sample import write_sample  # noqa: PLC0415 - only when libyaml is hidden
    from tests.hostile.kit import run  # noqa: PLC0415 - the same

    write_sample(Path("sample"))
    write_sample(Path("faulty"))
    _faulty(Path("faulty"))
    Path("mine.yaml").write_bytes(Path(__file__).parents[2].joinpath("examples/fair/mine.yaml").read_bytes())
    for line in COMMANDS:
        ran = run(line.split("|"))
        print(ran.status, _digest(ran.out, ran.err), line)
    for path in sorted(Path().rglob("*")):
        if path.is_file():
            print(_digest(path.read_bytes()), path.as_posix())
    with contextlib.suppress(ImportError):
        from yaml import cyaml  # noqa: PLC0415 - whether it is hidden is what is asked

        print("libyaml", cyaml.__name__)
    return 0


if __name__ == "__main__":
    sys.exit(_main(*sys.argv[1:]))
