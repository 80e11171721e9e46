"""A small clean dataset, complete: every rule's example is one file laid over it or beside it.

The line *Lanternfish*, its makers and everything in it is invented. Every kind of record is there, no rule
has anything to say about it, and it is small enough to be read whole before an example is.

>>> sorted(SAMPLE)[:3]
['dataset.yaml', 'features.yaml', 'glossary.yaml']

What an example adds usually goes into a part of a maker's file, such as ``backs/pell-orrin.more.yaml``, so
that the records that are there stay as they are.
"""

import os
from pathlib import Path

from cardref.checks.rule import Example

__all__ = ["SAMPLE", "lay", "write_sample"]

SAMPLE: dict[str, str] = {
    "dataset.yaml": """\
id: sample
title: Lanternfish, a small invented line
version: "2026.11"
licence: CC0-1.0
model: 1
invented: true
""",
    "makers.yaml": """\
makers:
  - id: pell-orrin
    name: Pell & Orrin Playthings
    country: IE
    languages: [en]
    active: 1981/1984
    sources: [binder]
  - id: morvane
    name: Morvane Jouets
    country: FR
    languages: [fr]
    active: 1982/1983
    sources: [binder]
  - id: thalweg
    name: Thalweg Handel
    country: DE
    languages: [de]
    active: "1983"
    roles: [seller]
    sources: [binder]
""",
    "sources.yaml": """\
sources:
  - id: spring-list
    kind: catalogue
    citation: Pell & Orrin trade list, spring 1981 (invented)
    date: 1981-02
  - id: late-list
    kind: catalogue
    citation: Pell & Orrin trade list, 1984 (invented)
    date: "1984"
  - id: binder
    kind: specimen
    citation: A collector's binder of carded figures, seen in 2019 (invented)
    date: "2019"
  - id: fair-photo
    kind: photograph
    citation: Photographs from a toy fair, 2021 (invented)
    date: "2021"
    link: https://photos.example/lanternfish/2021
  - id: old-listing
    kind: listing
    citation: A seller's listing, seen in 2020 (invented)
    date: "2020"
  - id: harbour-list
    kind: reference
    citation: The harbour list of backs, second edition, 2015 (invented)
    date: "2015"
""",
    "features.yaml": """\
features:
  - id: maker-line
    title: Maker's line
    where: back, at the foot
    how: Count the lines of small type that begin with the maker's name.
    kind: choice
    side: back
    states: [one-line, two-lines]
  - id: offer-flash
    title: Offer flash
    where: back, upper right
    how: Look for a star-shaped flash with an offer in it.
    kind: presence
    side: back
  - id: offer-token
    title: What is offered
    where: back, in the offer flash
    how: Read what you are to be sent for your proofs of purchase.
    kind: choice
    side: back
    states: [whistle, badge]
    applies: {feature: offer-flash, state: present}
  - id: board-glow
    title: Board glows
    where: the board's edge
    how: Look at the edge under an ultraviolet lamp in a dark room.
    kind: presence
    side: board
    tool: ultraviolet
    effort: 5
    sign:
      why: Modern board has brighteners that old board lacks.
      reliability: fair
      caution: Do not look into the lamp.
      genuine: {pell-orrin: [absent]}
    sources: [binder]
""",
    "glossary.yaml": """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
    where: Turn the card round.
    why: It tells one printing from another.
    see: [count]
  - id: count
    word: back count
    also: [count]
    what: How many figures the reverse pictures.
    where: Count the pictures on the back.
    why: It names the back.
    see: [back]
""",
    "retired.yaml": """\
retired:
  - id: lanternfish/pell-orrin/b-000
    replaced_by: [lanternfish/pell-orrin/b-002]
    reason: It was the same printing as b-002.
    date: 2025-01
""",
    "waivers.yaml": """\
waivers: []
""",
    "lines/lanternfish/line.yaml": """\
id: lanternfish
title: Lanternfish
home: pell-orrin
makers: [pell-orrin, morvane, thalweg]
uncoded: [thalweg]
sources: [spring-list]
series:
  - id: lanternfish
    title: Lanternfish
    titles: {fr: Poisson-lanterne}
    years: 1981/1983
    sources: [binder]
  - id: deepwater
    title: "Lanternfish: Deepwater"
    years: "1984"
    sources: [late-list]
waves:
  - id: po-1
    maker: pell-orrin
    series: lanternfish
    date: 1981-03
    debuts: [reef-pilot, tide-clerk, brine-smith, gull-warden]
    standing: confirmed
    sources: [spring-list, binder]
  - id: po-2
    maker: pell-orrin
    series: lanternfish
    date: 1982-02
    debuts: [kelp-weaver, bell-ringer]
    standing: confirmed
    sources: [binder]
  - id: po-3
    maker: pell-orrin
    series: deepwater
    date: 1984-03
    debuts: [night-keeper, salt-porter]
    drops: [tide-clerk]
    standing: confirmed
    sources: [late-list, binder]
  - id: mv-1
    maker: morvane
    series: lanternfish
    date: 1982-09
    debuts: [reef-pilot, tide-clerk, brine-smith]
    standing: reported
    sources: [binder]
schemes:
  - id: po
    makers: [pell-orrin]
    counts: [6, 7]
    valid: 1982/1984
    where: front, lower right
    segments:
      - {name: series, width: 1, alphabet: upper, meaning: series, table: {L: lanternfish, D: deepwater}}
      - name: figure
        width: 3
        meaning: figure
        before: "-"
        table:
          "014": reef-pilot
          "015": tide-clerk
          "016": brine-smith
          "017": gull-warden
          "021": kelp-weaver
          "022": bell-ringer
          "031": night-keeper
          "032": salt-porter
      - {name: back, width: 2, meaning: back, before: /, table: {"06": "6", "07": "7"}}
    standing: confirmed
    sources: [binder]
  - id: mv
    makers: [morvane]
    where: front, lower left
    check: luhn
    segments:
      - name: figure
        width: 4
        meaning: figure
        table: {"2041": reef-pilot, "2042": tide-clerk, "2043": brine-smith}
      - {name: check, width: 1, meaning: check, before: "-"}
    standing: reported
    sources: [binder]
""",
    "lines/lanternfish/features.yaml": """\
line: lanternfish
features:
  - id: lantern-height
    title: Height of the lantern
    where: back, in the line's title
    how: Lay a ruler along the lantern of the title.
    kind: length
    side: back
    tool: ruler
    effort: 3
    makers: [pell-orrin]
  - id: waves-drawn
    title: Waves drawn
    where: back, under the title
    how: Count the wave crests under the title.
    kind: count
    side: back
    least: 1
    most: 9
    misread: 0.1
  - id: lamp-paint
    title: Paint of the lamp
    where: the figure's hand lamp
    how: Look at the colour of the lamp's glass.
    kind: choice
    side: figure
    states: [green, amber]
""",
    "lines/lanternfish/figures.yaml": """\
line: lanternfish
figures:
  - id: reef-pilot
    names:
      - {text: Reef Pilot, language: en}
      - {text: Pilote du récif, language: fr, maker: morvane}
    accessories: [hand lamp]
    sources: [spring-list]
  - id: tide-clerk
    names:
      - {text: Tide Clerk, language: en}
      - {text: Greffier des marées, language: fr, maker: morvane}
    sources: [spring-list]
  - id: brine-smith
    names:
      - {text: Brine Smith, language: en}
      - {text: Forgeron du sel, language: fr, maker: morvane}
    sources: [spring-list]
  - id: gull-warden
    names: [{text: Gull Warden, language: en}]
    sources: [spring-list]
  - id: kelp-weaver
    names: [{text: Kelp Weaver, language: en}]
    sources: [binder]
  - id: bell-ringer
    names: [{text: Bell Ringer, language: en}]
    sources: [binder]
  - id: night-keeper
    names: [{text: Night Keeper, language: en}]
    sources: [late-list]
  - id: salt-porter
    names: [{text: Salt Porter, language: en}]
    sources: [late-list]
""",
    "lines/lanternfish/stickers.yaml": """\
line: lanternfish
stickers:
  - id: de-strip
    kind: language
    text: Laternenfisch
    language: de
    by: [thalweg]
    where: front, under the title
    released: "1983"
    standing: reported
    sources: [binder]
  - id: whistle-offer
    kind: offer
    text: Free whistle!
    language: en
    by: [pell-orrin]
    where: front, upper right
    released: "1982"
    standing: reported
    sources: [fair-photo]
""",
    "lines/lanternfish/reproductions.yaml": """\
line: lanternfish
reproductions:
  - id: glossy-four
    title: The glossy four
    extent: [board]
    copies: [pell-orrin/b-001]
    features: {board-glow: present}
    known: "2009"
    standing: reported
    sources: [fair-photo]
""",
    "lines/lanternfish/backs/pell-orrin.yaml": """\
line: lanternfish
maker: pell-orrin
backs:
  - id: b-001
    designation: 4A
    series: lanternfish
    wave: po-1
    count: 4
    claimed: same
    pictures: {plus: [reef-pilot, tide-clerk, brine-smith, gull-warden]}
    languages: [en]
    released: 1981-03
    features: {maker-line: one-line, offer-flash: absent, lantern-height: 10-11 mm, waves-drawn: 3}
    standing: confirmed
    sources: [spring-list, binder]
  - id: b-002
    designation: 4B
    series: lanternfish
    wave: po-1
    count: 4
    claimed: same
    pictures: {based_on: b-001}
    languages: [en]
    released: 1981-09
    after: b-001
    features: {maker-line: two-lines, offer-flash: absent, lantern-height: 14-15 mm, waves-drawn: 4}
    standing: confirmed
    sources: [binder]
  - id: b-003
    designation: 6A
    series: lanternfish
    wave: po-2
    count: 6
    claimed: same
    pictures: {based_on: b-002, plus: [kelp-weaver, bell-ringer]}
    languages: [en]
    released: 1982-02
    after: b-002
    features: {maker-line: two-lines, offer-flash: present, offer-token: whistle, waves-drawn: 4}
    concordance:
      - {reference: harbour-list, designation: "6"}
    standing: confirmed
    sources: [binder, fair-photo]
  - id: b-004
    designation: 7A
    series: deepwater
    wave: po-3
    count: 7
    claimed: same
    pictures: {based_on: b-003, plus: [night-keeper, salt-porter], minus: [tide-clerk]}
    languages: [en]
    released: 1984-03
    after: b-003
    features: {maker-line: two-lines, offer-flash: present, offer-token: badge, waves-drawn: 4}
    standing: confirmed
    sources: [late-list, binder]
""",
    "lines/lanternfish/backs/morvane.yaml": """\
line: lanternfish
maker: morvane
backs:
  - id: b-001
    designation: 3A
    series: lanternfish
    wave: mv-1
    count: 3
    pictures: {plus: [reef-pilot, tide-clerk, brine-smith]}
    languages: [fr]
    released: 1982-09
    features: {maker-line: one-line, offer-flash: absent}
    standing: reported
    sources: [binder]
""",
    "lines/lanternfish/faces/pell-orrin.yaml": """\
line: lanternfish
maker: pell-orrin
faces:
  - id: f-001
    figure: reef-pilot
    series: lanternfish
    languages: [en]
    name: Reef Pilot
    number: "3014"
    codes: none
    standing: confirmed
    sources: [binder]
  - id: f-002
    figure: tide-clerk
    series: lanternfish
    languages: [en]
    name: Tide Clerk
    number: "3015"
    codes: none
    standing: confirmed
    sources: [binder]
  - id: f-003
    figure: brine-smith
    series: lanternfish
    languages: [en]
    name: Brine Smith
    number: "3016"
    codes: none
    standing: confirmed
    sources: [binder]
  - id: f-004
    figure: gull-warden
    series: lanternfish
    languages: [en]
    name: Gull Warden
    number: "3017"
    codes: none
    standing: confirmed
    sources: [binder]
  - id: f-005
    figure: reef-pilot
    series: lanternfish
    languages: [en]
    name: Reef Pilot
    number: "3014"
    codes: [L-014/06]
    standing: confirmed
    sources: [binder]
  - id: f-006
    figure: kelp-weaver
    series: lanternfish
    languages: [en]
    name: Kelp Weaver
    number: "4021"
    codes: [L-021/06]
    standing: confirmed
    sources: [binder]
  - id: f-007
    figure: bell-ringer
    series: lanternfish
    languages: [en]
    name: Bell Ringer
    number: "4022"
    codes: [L-022/06]
    standing: reported
    sources: [fair-photo]
  - id: f-008
    figure: night-keeper
    series: deepwater
    languages: [en]
    name: Night Keeper
    number: "4031"
    codes: [D-031/07]
    standing: confirmed
    sources: [binder]
  - id: f-009
    figure: salt-porter
    series: deepwater
    languages: [en]
    name: Salt Porter
    number: "4032"
    codes: unread
    standing: reported
    sources: [fair-photo]
""",
    "lines/lanternfish/faces/morvane.yaml": """\
line: lanternfish
maker: morvane
faces:
  - id: f-001
    figure: reef-pilot
    series: lanternfish
    languages: [fr]
    name: Pilote du récif
    number: M-1
    codes: [2041-2]
    standing: reported
    sources: [binder]
  - id: f-002
    figure: tide-clerk
    series: lanternfish
    languages: [fr]
    name: Greffier des marées
    number: M-2
    codes: [2042-0]
    standing: reported
    sources: [binder]
  - id: f-003
    figure: brine-smith
    series: lanternfish
    languages: [fr]
    name: Forgeron du sel
    number: M-3
    codes: [2043-8]
    standing: reported
    sources: [binder]
""",
    "lines/lanternfish/cards/pell-orrin.yaml": """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-001
    face: f-001
    back: b-001
    origin: [{country: IE, where: board, text: Printed in Ireland}]
    features: {board-glow: absent, lamp-paint: green}
    standing: confirmed
    sources: [binder]
    sightings: [{source: binder, count: 2}]
  - id: c-002
    face: f-002
    back: b-001
    standing: confirmed
    sources: [binder]
  - id: c-003
    face: f-001
    back: b-002
    features: {lamp-paint: amber}
    standing: confirmed
    sources: [binder]
  - id: c-004
    face: f-003
    back: b-002
    standing: confirmed
    sources: [binder]
  - id: c-005
    face: f-004
    back: b-002
    standing: confirmed
    sources: [binder]
  - id: c-006
    face: f-005
    back: b-003
    stickers: [whistle-offer]
    standing: confirmed
    sources: [binder]
    sightings: [{source: fair-photo, seen: 2021-05}]
  - id: c-007
    face: f-006
    back: b-003
    standing: confirmed
    sources: [binder]
  - id: c-008
    face: f-007
    back: b-003
    standing: reported
    sources: [fair-photo]
  - id: c-009
    face: f-008
    back: b-004
    standing: confirmed
    sources: [binder]
  - id: c-010
    face: f-009
    back: b-004
    standing: reported
    sources: [fair-photo, old-listing]
""",
    "lines/lanternfish/cards/morvane.yaml": """\
line: lanternfish
maker: morvane
cards:
  - id: c-001
    face: f-001
    back: b-001
    standing: reported
    sources: [binder]
  - id: c-002
    face: f-002
    back: b-001
    stickers: [de-strip]
    roles: {seller: thalweg}
    standing: reported
    sources: [binder]
  - id: c-003
    face: f-003
    back: b-001
    standing: reported
    sources: [binder]
""",
}
"""Path to text."""


def write_sample(folder: Path, *examples: Example, files: dict[str, str] | None = None) -> Path:
    """Write ``files`` (the sample where not given) into ``folder``, the examples laid over them."""
    for path, text in (SAMPLE if files is None else files).items():
        lay(folder, Example(path, text))
    for example in examples:
        lay(folder, example)
    return folder


def lay(folder: Path, example: Example) -> None:
    """Write one example's file, in place of one that is there."""
    target = folder / example.path
    target.parent.mkdir(parents=True, exist_ok=True)
    target.unlink(missing_ok=True)
    if example.made == "link":
        target.symlink_to(example.text)
    elif example.made == "pipe":
        os.mkfifo(target)
    elif example.made == "file":
        # A byte that is not UTF-8 stands in an example as a lone surrogate (PEP 383).
        target.write_bytes(example.text.encode("utf-8", "surrogateescape"))
