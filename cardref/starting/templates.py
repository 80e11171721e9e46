"""The files of a new dataset, as texts with gaps.

Each teaches by example: what a record looks like, what its fields mean, and one more in comments to copy.
Gaps (``{maker_id}`` ...) are filled with text that is already safe to stand there: a YAML scalar in data
files, plain words in the others. ``{line_path}`` and ``{maker_path}`` are the same ids as in paths.

>>> list(DATA)[:3], list(PAGES)[:1]
(['dataset.yaml', 'makers.yaml', 'sources.yaml'], ['README.md'])
>>> print(DATA["dataset.yaml"].splitlines()[1].format(dataset_id="lantern-trail"))
id: lantern-trail
"""

__all__ = ["BARE", "DATA", "PAGES"]

DATA: dict[str, str] = {
    "dataset.yaml": """\
# What this dataset is. `cardref check` reads it first.
id: {dataset_id}
title: {dataset_title}
version: {version}  # year and month of the last change: YYYY.MM, and YYYY.MM.N for more in one month
licence: {licence}  # of the data, as an SPDX identifier
model: {model}
""",
    "makers.yaml": """\
# Who made, printed or sold the cards. One block a maker.
makers:
  - id: {maker_id}  # short, for ever: it is part of other ids and of file names
    name: {maker}{country_line}
    languages: [{language}]
    sources: [first-card]
  # Another maker, to copy:
  # - id: short-name
  #   name: Name in its own script
  #   latin: Name in Latin letters
  #   country: "NO"  # in quotes, since a bare NO is "no" to some programs
  #   languages: [nb]
  #   active: "1980/1984"  # from, to; "1980~" is about 1980, "../1984" from who knows when
  #   sources: [first-card]
""",
    "sources.yaml": """\
# Where statements come from. Whoever reads a record should be able to look for themselves.
sources:
  - id: first-card
    kind: specimen  # specimen, photograph, catalogue, papers, print, reference, interview, listing, hearsay
    citation: A first card in hand (an example, replace it)
    date: {today}
""",
    "features.yaml": """\
# What can be looked at on any card. What one line alone has stands in that line's own features.yaml.
features: []
# A feature, to copy:
#   - id: token
#     title: Proof of purchase
#     where: the reverse, lower left
#     how: See whether a token to cut out is printed there; a hole counts as a token.
#     kind: presence  # presence, choice, count, length
#     side: back
""",
    "glossary.yaml": """\
# The words of the trade, for beginners: `cardref explain back`.
terms:
  - id: back
    word: back
    also: [reverse]
    what: The printed reverse of a card.
    where: Turn the card over.
    why: Reverses were printed again and again, and the printings are what collectors tell apart.
    see: [back-count, letter]
  - id: back-count
    word: back count
    what: How many figures the reverse pictures. It names the back; 0 is a blank one.
    where: Count the pictures, whatever number the slogan claims.
    why: It is the first thing that tells one printing from another.
    see: [back, letter]
  - id: letter
    word: letter
    what: A, B, C and so on, given by collectors to printings with one back count. It is printed nowhere.
    why: It is the answer of an identification, never something that can be seen.
    see: [back-count]
  - id: face
    word: face
    also: [front]
    what: The printed front of a card, with picture, title and the figure's name.
    where: Hold the card upright, the bubble towards you.
    why: Front and back were printed apart, and do not always belong to the same year.
    see: [back, package-code]
  - id: package-code
    word: package code
    what: The small code printed on the card, in segments for series, figure and back.
    where: On the front near an edge; it may be hidden under the bubble.
    why: It can confirm what a card is, or contradict it.
    see: [face]
""",
    "retired.yaml": """\
# Ids that are no longer used, and what took their place: `cardref retire`. An id is never given twice.
retired: []
""",
    "waivers.yaml": """\
# Findings that are accepted for now, each with its reason and its end.
waivers: []
# A waiver, to copy:
#   - rule: letter-gap
#     record: {line_path}/{maker_path}/b-001
#     reason: The letter before it was given to a printing that turned out to be the same.
#     expires: "{next_year}"
""",
    "lines/{line_path}/line.yaml": """\
# The line as a whole: its series, its waves by maker, its code schemes.
id: {line_id}
title: {line}
home: {maker_id}
makers: [{maker_id}]
sources: [first-card]
series:
  - id: {series_id}
    title: {series}{years_line}
    sources: [first-card]
waves:
  - id: first  # the figures that a maker adds to its shops together; waves stand in the order of time
    maker: {maker_id}
    series: {series_id}
    debuts: [example-figure]
    standing: reported
    sources: [first-card]
schemes:
  # How the small code on the card is written: A001-01 is series A, figure 001, back count 01. Make it yours.
  - id: front
    makers: [{maker_id}]
    where: front, lower edge
    segments:
      - name: series
        width: 1
        alphabet: upper
        meaning: series
        table:
          A: {series_id}
      - name: figure
        width: 3
        meaning: figure
        table:
          "001": example-figure
      - name: back
        width: 2
        meaning: back
        before: "-"
        table:
          "01": "1"
    standing: reported
    sources: [first-card]
""",
    "lines/{line_path}/figures.yaml": """\
# The figures, in the order in which they came out.
line: {line_id}
figures:
  - id: example-figure  # replace it, here and wherever it is mentioned
    names:
      - text: Example Figure
        language: {language}
    sources: [first-card]
  # Another figure, to copy:
  # - id: lamp-keeper
  #   names:
  #     - text: Lamp Keeper
  #       language: en
  #     - text: Lampevokteren
  #       language: nb
  #   accessories: [lamp]
  #   sources: [first-card]
""",
    "lines/{line_path}/features.yaml": """\
# What tells the printings of this line apart. A record says what was seen: `rope-length: "4-5 mm"`.
line: {line_id}
features: []
# A feature, to copy:
#   - id: rope-length
#     title: Length of the rope's loose end
#     where: the reverse, lower left
#     how: Lay a ruler along the drawn rope from the knot to its tip and read millimetres.
#     kind: length
#     side: back
#     tool: ruler
""",
    "lines/{line_path}/stickers.yaml": """\
# What was stuck on cards after printing: offers, languages, sellers, prices.
line: {line_id}
stickers: []
# A sticker, to copy:
#   - id: whistle
#     kind: offer  # offer, language, origin, seller, price, correction
#     text: Free whistle! Send 4 tokens.
#     language: en
#     by: [{maker_path}]
#     where: front, upper right
#     standing: reported
#     sources: [first-card]
""",
    "lines/{line_path}/reproductions.yaml": """\
# Known modern copies, whole or in part. A card that is not listed here may still be a copy.
line: {line_id}
reproductions: []
# A copy, to copy:
#   - id: glossy-one
#     title: The glossy one
#     extent: [board]  # whole, board, bubble, seal, token, sticker, accessory, never-existed
#     copies: [{maker_path}/b-001]
#     standing: reported
#     sources: [first-card]
""",
    "lines/{line_path}/backs/{maker_path}.yaml": """\
# The printed reverses. The id never changes; the letter in the designation may.
line: {line_id}
maker: {maker_id}
backs:
  - id: b-001
    designation: "1A"  # the back count, then the letter that tells printings with that count apart
    series: {series_id}
    wave: first
    count: 1  # how many figures it pictures: count them
    pictures:
      plus: [example-figure]
    languages: [{language}]
    standing: reported  # confirmed, reported, disputed, refuted, unverified
    sources: [first-card]
  # The next one, said by what changed since the first:
  # - id: b-002
  #   designation: "2A"
  #   series: {series_id}
  #   wave: first
  #   count: 2
  #   pictures:
  #     based_on: b-001
  #     plus: [lamp-keeper]
  #   after: b-001
  #   standing: reported
  #   sources: [first-card]
""",
    "lines/{line_path}/faces/{maker_path}.yaml": """\
# The printed fronts, with everything exactly as it is printed.
line: {line_id}
maker: {maker_id}
faces:
  - id: f-001
    figure: example-figure
    series: {series_id}
    languages: [{language}]
    name: Example Figure
    codes: ["A001-01"]  # in quotes; `none` if none is printed, `unread` if it is hidden
    standing: reported
    sources: [first-card]
""",
    "lines/{line_path}/cards/{maker_path}.yaml": """\
# Which front is known on which back.
line: {line_id}
maker: {maker_id}
cards:
  - id: c-001
    face: f-001
    back: b-001
    standing: reported
    sources: [first-card]
    sightings:
      - source: first-card
""",
}

PAGES: dict[str, str] = {
    "README.md": """\
# {dataset_title}

A reference for the carded figures of {line}: which printings there are, and how to tell them apart. It is
kept as text, checked by cardref, and given under {licence} (see LICENCE.md).

Nothing here authenticates a card. Before money changes hands, have it looked at by people who know the line.

    cardref check .              is everything consistent?
    cardref decode {code} --dataset .
    cardref fmt .                tidy layout; comments stay
    cardref fix --diff .         what could be mended by itself?

So far it holds one example of everything. Replace the examples first: the figure, the code, the source.
""",
    "CONTRIBUTING.md": """\
# How to add what you know

1. Find the file: `lines/{line_id}/backs/{maker_id}.yaml` for a reverse, `faces/` for a front, `cards/` for
   what stands on what, `sources.yaml` for where you know it from.
2. Copy a block, give it the next free id, change what differs. An id is for ever; the letter of a
   designation may change.
3. Run `cardref check .` and do what it says; then `cardref fmt .`.
4. Send the change. Whoever reviews it sees one block for one record.

**Say how you know.** Every record names its sources. `confirmed` needs somebody who had the card in hand,
better two; a seller's listing or a memory is `reported`. Where people disagree, write `disputed` and both
sides.

**Say what you see, not what it should be.** Codes, names and numbers are copied as printed, misprints
included. Leave out what you did not look at: absent means that nobody looked.

**Never delete an id.** `cardref retire ID --dataset . --reason "..."` leaves a note for whoever has the old
id in a list; `--merge-into`, `--split-into` and `--rename-to` have everything follow that mentions it.

**Take care.** Old board is fragile and ink rubs off. Never open, press or heat a bubble to see better.
Ultraviolet light harms eyes and fades ink: a second is enough, and never look into the lamp. Put nobody's
name, address or private photo here without asking.
""",
    "LICENCE.md": """\
# Licence of the data

{dataset_title}

SPDX-License-Identifier: {licence}

{licence_words}

The full text: https://spdx.org/licenses/{licence}.html
""",
    ".editorconfig": """\
root = true

[*.yaml]
charset = utf-8
end_of_line = lf
indent_style = space
indent_size = 2
insert_final_newline = true
trim_trailing_whitespace = true
""",
    ".pre-commit-config.yaml": """\
# Runs before every commit once you have said: pre-commit install
repos:
  - repo: local
    hooks:
      - id: cardref-fmt
        name: cardref fmt
        entry: cardref fmt --check .
        language: system  # uses the cardref that is installed here
        pass_filenames: false
        files: \\.yaml$
      - id: cardref-check
        name: cardref check
        entry: cardref check .
        language: system
        pass_filenames: false
        files: \\.yaml$
""",
    ".github/workflows/check.yml": """\
# Checks every change that is proposed, and marks what is wrong on the line where it stands.
name: check
on: [push, pull_request]
permissions:
  contents: read
jobs:
  check:
    runs-on: ubuntu-latest
    steps:
      - uses: actions/checkout@v4
      - uses: actions/setup-python@v5
        with:
          python-version: "3.12"
      - run: pip install cardref
      - run: cardref fmt --check .
      - run: cardref check . --format annotations
""",
}

BARE: dict[str, str] = {
    "README.md": """\
# {dataset_title}

A reference for the carded figures of {line}: which printings there are, and how to tell them apart. It is
kept as text, checked by cardref, and given under {licence} (see LICENCE.md).

Nothing here authenticates a card. Before money changes hands, have it looked at by people who know the line.

    cardref tables add LIST.csv --dataset .    the cards of a list of yours, one row a card
    cardref check .                            is everything consistent?
    cardref compare HEAD .                     what has changed since the last commit?
    cardref fmt .                              tidy layout; comments stay
    cardref fix --diff .                       what could be mended by itself?

So far it holds no card. How the small code on the cards is written stands in a comment at the end of
lines/{line_id}/line.yaml: describe yours there, and every code is checked.
""",
}
"""What differs where there are no examples."""
