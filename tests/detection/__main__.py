"""Run the slip experiment and print its table: ``python -m tests.detection``.

python -m tests.detection [--each N] [--seed S] [--dataset DIR] [--only OPERATOR ...] [--missed]
"""

import argparse
import time
from pathlib import Path

from tests.detection.experiment import bundled, outcomes, rows, table
from tests.detection.slips import OPERATORS
from tests.detection.world import World


def main() -> None:
    """Print the table, then what nobody could see and why, and what was missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.detection", description=__doc__.partition("\n")[0])
    parser.add_argument("--each", type=int, default=40, help="slips by each operator")
    parser.add_argument("--seed", default="1")
    parser.add_argument("--dataset", type=Path, default=bundled())
    parser.add_argument("--only", nargs="*", default=(), choices=sorted(OPERATORS))
    parser.add_argument("--missed", action="store_true", help="list every slip that was missed")
    parser.add_argument("--loud", type=int, default=0, help="list slips with more findings than this")
    options = parser.parse_args()
    begun = time.perf_counter()
    world = World(options.dataset)
    found = list(outcomes(world, options.each, options.seed, options.only))
    lines = rows(found)
    print(f"{options.dataset}: {len(OPERATORS)} kinds of slips, seed {options.seed}")
    print(f"false alarms on the dataset as it is: {world.false_alarms}\n")
    for line in table(lines):
        print(line)
    print()
    for line in table(rows(found, by_theme=True)):
        print(line)
    total = lines[-1]
    print(
        "\ncaught, record, at it, field and schema are shares of the slips that contradict a recorded fact "
        "(contra);"
    )
    print(
        f"another {total.noted} of these were told as notes only; seen: unseeable ones that were told all "
        "the same\n"
    )
    print("why the others could not be seen:")
    for reason, count in total.reasons.most_common():
        print(f"{count:6} {reason}")
    if options.missed:
        print("\nmissed:")
        for one in total.missed:
            print(
                f"  {one.operator}: {one.slip.what}"
                + "".join(f"\n      note {t.rule}: {t.message}" for t in one.told)
            )
    for one in found:
        if options.loud and len(one.told) > options.loud:
            print(f"\n{one.operator}: {one.slip.what}: {len(one.told)} findings")
            for told in one.told[:6]:
                print(f"      {told.severity} {told.rule} {told.record} {told.field}: {told.message}")
    print(f"\n{total.slips} slips in {time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main()
