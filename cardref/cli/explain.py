"""``cardref explain WORD``: a word of the trade, for beginners."""

import argparse

from cardref.cli.common import add_dataset, add_format, open_reference, print_json
from cardref.model.kinds import short_id
from cardref.model.term import Term
from cardref.reference import Reference
from cardref.storage.plain import plain
from cardref.text import quoted, visible, wrapped

SUMMARY = "Explain a word of the trade: what it is, where to look, why it matters."
EXAMPLE = "cardref explain silhouette"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("word", nargs="*", help="the word; without one, all words are listed")
    add_dataset(parser)
    add_format(parser, "text", "json")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    reference = open_reference(args)
    asked = " ".join(args.word)
    if not asked:
        terms = list(reference.terms.values())
    else:
        terms = [term for term in reference.find(asked, "term") if isinstance(term, Term)]
    if args.format == "json":
        print_json([plain(term) for term in terms])
    elif not asked:
        _wrapped(", ".join(term.word for term in terms) or "this dataset explains no words")
    elif not terms:
        near = [
            reference.terms[i].word if i in reference.terms else i
            for i in reference.index.suggest(asked, "term")
        ]
        hint = f"Did you mean {' or '.join(near)}?" if near else "`cardref explain` lists the words that are."
        print(f"{quoted(asked)} is not explained here. {hint}")
    for term in terms if asked and args.format == "text" else ():
        _print(reference, term)
    return 0 if terms else 1


def _print(reference: Reference, term: Term) -> None:
    also = f" (also {', '.join(term.also)})" if term.also else ""
    _wrapped(f"{term.word}{also}: {term.what}")
    for label, text in (("where to look", term.where), ("why it matters", term.why)):
        if text:
            _wrapped(f"  {label}: {text}")
    if term.see:
        words = [
            reference.terms[full].word if full in reference.terms else short_id(full) for full in term.see
        ]
        _wrapped(f"  see also: {', '.join(words)}")


def _wrapped(text: str) -> None:
    print("\n".join(wrapped(visible(text), "    ")))
