"""The table of rules: one row a rule, in the order in which findings at one place are told.

A row names a module of :mod:`cardref.checks.rules`; the rule's id and family follow from it, so that the ids
are known without importing a single rule.

>>> "count-mismatch" in families(), families()["count-mismatch"]
(True, 'counting')
>>> rule("count-mismatch").severity.value
'error'
"""

from collections.abc import Mapping
from functools import cache
from importlib import import_module

from cardref.checks.rule import Rule

__all__ = ["ROWS", "families", "rule", "rules"]

ROWS: tuple[str, ...] = (
    # reading: whether the files can be read, and read alike by everybody
    "reading.unreadable_file",
    "reading.symbolic_link",
    "reading.unfinished_change",
    "reading.unknown_file",
    "reading.missing_file",
    "reading.file_size",
    "reading.encoding",
    "reading.byte_order_mark",
    "reading.control_character",
    "reading.line_end",
    "reading.tab",
    "reading.merge_conflict",
    "reading.yaml_syntax",
    "reading.yaml_feature",
    "reading.nesting",
    "reading.scalar_length",
    "reading.empty_file",
    "reading.several_documents",
    "reading.duplicate_key",
    "reading.misplaced_file",
    "reading.model_version",
    "reading.older_model",
    "reading.reserved_name",
    "reading.written_form",
    # shape: whether records have the fields of their kind, rightly written
    "shape.unknown_key",
    "shape.missing_key",
    "shape.wrong_type",
    "shape.wrong_value",
    "shape.ill_formed",
    "shape.out_of_range",
    # links: whether what is referred to is there
    "links.unknown_link",
    "links.wrong_kind_link",
    "links.retired_link",
    "links.circular_link",
    "links.repeated_link",
    "links.unreachable_record",
    "links.unused_source",
    # identity: whether things that differ can be told apart by what they are called
    "identity.duplicate_id",
    "identity.duplicate_designation",
    "identity.duplicate_card",
    "identity.duplicate_face",
    "identity.duplicate_source",
    "identity.shared_name",
    "identity.lookalike_name",
    "identity.lookalike_code",
    "identity.shared_concordance",
    "identity.shared_number",
    "identity.shared_barcode",
    "identity.letter_gap",
    "identity.bare_count",
    # evidence: whether statements say what they stand on
    "evidence.unsourced_confirmation",
    "evidence.weak_confirmation",
    "evidence.one_sided_dispute",
    "evidence.unsourced_side",
    "evidence.settled_dispute",
    "evidence.unsourced_refutation",
    "evidence.uncited_source",
    "evidence.unsourced_change",
    # ids: whether ids keep their meaning over time
    "ids.reused_id",
    "ids.alias_chain",
    "ids.unknown_successor",
    "ids.removed_record",
    "ids.lost_tombstone",
    "ids.repurposed_id",
    "ids.version_step",
    # layers: whether a dataset agrees with the one that it lies over
    "layers.layer_conflict",
    # waivers: whether accepted findings are accepted for a reason that still holds
    "waivers.unknown_rule",
    "waivers.unreasoned_waiver",
    "waivers.expired_waiver",
    "waivers.unused_waiver",
    # text: whether text is written so that equal things look equal
    "text.bidirectional_control",
    "text.decomposed_text",
    "text.stray_space",
    "text.exotic_space",
    "text.invisible_sign",
    "text.mixed_script",
    "text.mixed_quotes",
    # time: when things were made, sold and seen
    "time.future_date",
    "time.outside_series",
    "time.outside_maker",
    "time.scheme_years",
    "time.wave_order",
    "time.back_before_wave",
    "time.after_order",
    "time.base_order",
    "time.after_letter",
    "time.before_debut",
    "time.card_before_back",
    "time.sticker_before_card",
    "time.seen_before_release",
    "time.seen_after_source",
    "time.source_before_statement",
    "time.copy_before_original",
    "time.idle_maker",
    # counting: what a back pictures against the number it says
    "counting.count_mismatch",
    "counting.figure_pictured_twice",
    "counting.needless_minus",
    "counting.silhouette_not_pictured",
    "counting.slip_not_pictured",
    "counting.claimed_total",
    "counting.count_drop",
    "counting.wave_sum",
    "counting.wave_count",
    "counting.debut_twice",
    "counting.unsold_drop",
    "counting.missing_debut",
    "counting.wave_of_other_maker",
    # codes: package codes, product numbers and barcodes against faces, backs and schemes
    "codes.broken_scheme",
    "codes.scheme_table",
    "codes.ambiguous_schemes",
    "codes.malformed_code",
    "codes.check_digit",
    "codes.code_series",
    "codes.code_figure",
    "codes.code_back",
    "codes.unknown_segment",
    "codes.uncoded_maker",
    "codes.missing_code",
    "codes.code_without_scheme",
    "codes.barcode",
    "codes.number_differs",
    "codes.code_elsewhere",
    # cards: which face stands on which back, by whom and where
    "cards.unknown_country",
    "cards.unknown_language",
    "cards.country_out_of_time",
    "cards.language_not_of_maker",
    "cards.maker_not_in_line",
    "cards.other_line",
    "cards.face_figure",
    "cards.face_name",
    "cards.name_elsewhere",
    "cards.figure_not_pictured",
    "cards.silhouette_card",
    "cards.needless_exception",
    "cards.card_of_other_maker",
    "cards.sticker_of_stranger",
    "cards.needless_role",
    "cards.exists_and_refuted",
    "cards.refuted_part",
    "cards.announced_but_seen",
    # features: the catalogue, and what is recorded by it
    "features.feature_definition",
    "features.unknown_state",
    "features.feature_side",
    "features.feature_of_other_maker",
    "features.child_against_parent",
    "features.copy_not_told",
    "features.siblings_alike",
    "features.thin_separation",
    "features.lengths_close",
    "features.one_state",
    "features.unused_state",
)


@cache
def families() -> Mapping[str, str]:
    """Rule id -> family, of every row."""
    split = (row.split(".") for row in ROWS)
    return {module.replace("_", "-"): family for family, module in split}


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the table."""
    return tuple(import_module(f"cardref.checks.rules.{row}").RULE for row in ROWS)


def rule(name: str) -> Rule:
    """The rule with this id. Errors: KeyError where there is none."""
    return {found.id: found for found in rules()}[name]
