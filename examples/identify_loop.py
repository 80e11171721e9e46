"""Identify in a loop: always the look that is worth most now, until the printing is known or nothing helps.

    python examples/identify_loop.py

A program stands in for the person with the card: it knows what is printed on one recorded back and answers
each question from that, once wrongly, as happens at a noisy fair. At a terminal you would ask a person
instead: see `ask` below. The reference is invented demo data; nothing here authenticates a card.
"""

import sys

import cardref

HIDDEN = "tidewrack/quay-marl/b-017"
"""The back that the person has in hand; the loop is not told."""
MISREAD = {"beam": "left"}
"""What the person reads wrongly."""
MOST = 12
"""Nobody answers more questions than this."""


def ask(reference: cardref.Reference, feature: str) -> str:
    """What is seen: a state, or `?` where it is not recorded, as for a person who could not see it."""
    if feature in MISREAD:
        return MISREAD[feature]
    states = reference.backs[HIDDEN].features.get(feature)
    return "|".join(states) if states else "?"


def main() -> int:
    """Look, answer, look again."""
    reference = cardref.load()
    ident = reference.identify(line="tidewrack", maker="quay-marl", back_count=25)
    print(f"{ident.conclusion.count} printings can be it")
    while ident.verdict.value == "open" and ident.looked < MOST:
        look = ident.next_feature
        if look is None:
            break  # nothing that is recorded would tell more
        seen = ask(reference, look.feature)
        ident = ident.observe(look.feature, seen)
        first = ident.candidates[0]
        print(f"  {look.title}: {seen}  ->  {first.title} at {first.posterior:.0%}")
    print(ident.explain())
    return 0


if __name__ == "__main__":
    sys.exit(main())
