"""Decode millions of codes on Dask: the reference is pickled to each process once, rows are read in blocks.

    python examples/bulk_decode.py                          20,000 made-up rows, two processes
    python examples/bulk_decode.py --rows 2000000 --processes 1
    python examples/bulk_decode.py --file codes.txt         a file of yours, one code a line

Needs Dask (`pip install 'cardref[examples]'`); without it the example says so and ends. Each process gets the
pickled reference when it starts and keeps it; what comes back of a block is a count, not a row, since moving
rows between processes costs more than decoding them. Dask looks after the blocks, so the same lines run on a
cluster. The codes are recorded ones, and every tenth is spoiled by a slip, as typed codes are; reading what
is spoiled takes some fifty times as long. Reference and rows are invented demo data.

Measured on a quiet machine with two cores, Python 3.11, 400,000 rows, twice each: 14,000 rows a second with
one process, 26,000 with two.
"""

import argparse
import multiprocessing
import pickle
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import cardref

BLOCK = 1 << 17
"""Bytes of a block: some ten thousand codes, a fraction of a second's work."""
SLIPS = "0O1I5S8B ?-/"

_reference: cardref.Reference | None = None  # of this process


def begin(pickled: bytes) -> None:
    """Unpickle the reference and have it build what decoding needs: once in a process."""
    global _reference  # noqa: PLW0603 - a process has no other place that outlives a block
    _reference = pickle.loads(pickled)  # noqa: S301 - made by ourselves a moment ago
    _reference.decode("7K 2046/031")


def verdicts(lines: Iterable[str]) -> list[Counter[tuple[str, str]]]:
    """How many codes of a block are known, and how many are consistent."""
    if _reference is None:
        begin(pickle.dumps(cardref.load()))
    assert _reference is not None  # noqa: S101 - for the type checker
    decode = _reference.decode
    found: Counter[tuple[str, str]] = Counter()
    for line in lines:
        decoding = decode(line.strip())
        found[decoding.known.value, decoding.consistent.value] += 1
    return [found]


def write_rows(path: Path, rows: int) -> None:
    """Made-up rows: recorded codes, one in ten with a slip of the pen; the same ones every time."""
    codes = [code for face in cardref.load().faces.values() for code in face.printed_codes]
    chosen = random.Random(1979)  # noqa: S311 - rows to measure with, no secret
    with path.open("w", encoding="utf-8") as stream:
        for _ in range(rows):
            code = chosen.choice(codes)
            if chosen.random() < 0.1:
                at = chosen.randrange(len(code))
                code = code[:at] + chosen.choice(SLIPS) + code[at + 1 :]
            stream.write(f"{code}\n")


def main() -> int:
    """Count the verdicts and tell the rate."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--rows", type=int, default=20_000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--file", type=Path)
    args = parser.parse_args()
    try:
        import dask  # noqa: PLC0415 - the example says what to do where it is missing
        from dask import bag  # noqa: PLC0415 - the same
    except ImportError:
        print("this example needs Dask: pip install 'cardref[examples]'")
        return 0
    # Under its own name: what stands in __main__ would be copied into every task, and its reference with it.
    import bulk_decode as shared  # noqa: PLC0415 - see above

    with tempfile.TemporaryDirectory() as folder:
        path = args.file or Path(folder) / "rows.txt"
        if args.file is None:
            write_rows(path, args.rows)
        rows = bag.read_text(str(path), blocksize=BLOCK)
        pickled = pickle.dumps(cardref.load(), pickle.HIGHEST_PROTOCOL)
        # A fresh process, not a copy of this one: that is the only way that works the same on every system.
        with ProcessPoolExecutor(
            args.processes,
            multiprocessing.get_context("spawn"),
            initializer=shared.begin,
            initargs=(pickled,),
        ) as pool:
            list(pool.map(abs, range(args.processes)))  # start them before the clock runs
            since = time.perf_counter()
            with dask.config.set(scheduler="processes", pool=pool):
                counts = sum(rows.map_partitions(shared.verdicts).compute(), Counter[tuple[str, str]]())
            took = time.perf_counter() - since
    total = counts.total()
    for (known, consistent), count in sorted(counts.items(), key=lambda pair: -pair[1]):
        print(f"{count:>10,}  known: {known}, consistent: {consistent}")
    processes = f"{args.processes} process{'' if args.processes == 1 else 'es'}"
    print(f"{total:>10,}  rows in {took:.1f} s on {processes}: {total / took:,.0f} a second", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
