"""``cardref vet``: does what a seller says agree with itself and with what is known, and what to ask for?"""

import argparse
import re
import sys

from cardref.cli.common import add_dataset, add_format, open_reference, print_json
from cardref.text import visible
from cardref.vetting.as_json import as_json
from cardref.vetting.as_text import sign_lines, text_of
from cardref.vetting.claim import MOST_HEARD

SUMMARY = "Vet a claimed card: what is wrong, what is merely unrecorded, and what to ask the seller for."
EXAMPLE = "cardref vet 'Lamp Diver Tidewrack 21A back unpunched $40' maker=quay-marl"

_FIELD = re.compile(r"[A-Za-z][A-Za-z0-9_-]*=")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "claim",
        nargs="+",
        help="FIELD=VALUE, such as back=21A, or a listing's words; - reads words from stdin",
    )
    parser.add_argument("--signs", action="store_true", help="known copies and signs of copies in full")
    add_dataset(parser)
    add_format(parser, "text", "json")


def run(args: argparse.Namespace) -> int:
    """Print the answer; 1 where something speaks against the claim, 2 where nothing was recognised."""
    reference = open_reference(args)
    words, fields = _parted(args.claim)
    vetting = reference.vet(words, **fields)
    if args.format == "json":
        print_json(
            {
                "format": 1,
                "dataset": reference.name,
                "version": reference.version,
                "fingerprint": reference.fingerprint,
                "vetting": as_json(vetting),
            }
        )
    elif args.signs:
        print("\n".join(map(visible, sign_lines(reference.index, vetting))))
    else:
        print("\n".join(map(visible, text_of(reference.index, vetting))))
    if not vetting.claim.parts:
        return 2
    return 1 if vetting.something_against else 0


def _parted(claim: list[str]) -> tuple[str, dict[str, list[str]]]:
    """Listing words and fields apart; a word is a field where it begins with a name and ``=``."""
    words: list[str] = []
    fields: dict[str, list[str]] = {}
    for word in claim:
        if word == "-":
            words.append(_stdin())
        elif _FIELD.match(word):
            name, _, value = word.partition("=")
            fields.setdefault(name, []).append(value)
        else:
            words.append(word)
    return " ".join(words).strip(), fields


def _stdin() -> str:
    # One more than is read, so that the answer can say that there was more.
    return sys.stdin.read(MOST_HEARD + 1)
