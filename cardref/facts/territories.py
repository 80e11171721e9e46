"""Countries and languages: which codes exist, when a country did, and who sold in which language.

Country codes are those of ISO 3166-1 (alpha-2), and of ISO 3166-3 (alpha-4) for countries that no longer
exist: these are right for their time. Language codes of two letters are those of ISO 639-1; codes of three
letters (ISO 639-3) are many thousand and are not judged. Both lists were written from memory and are held
against an outside library in the tests.

>>> country_existed("CSHH", Date.parse("1981")).verdict.value
'yes'
>>> country_existed("HR", Date.parse("1981")).because
'HR is a code since 1992; before that it was YUCS'
>>> language_exists("el"), language_exists("gr"), language_meant("gr")
(True, False, 'el')
"""

from collections.abc import Iterable, Mapping
from typing import Final

from attrs import frozen

from cardref.facts.answer import Answer
from cardref.facts.bounds import Bounds
from cardref.facts.called import called, listed
from cardref.facts.kept import kept
from cardref.facts.timing import surely_before
from cardref.index import Index
from cardref.notation.edtf import Date
from cardref.text import clip

__all__ = [
    "COUNTRIES",
    "LANGUAGES",
    "WITHDRAWN",
    "Withdrawn",
    "country_existed",
    "country_exists",
    "language_exists",
    "language_meant",
    "main_language",
    "origin_fits",
    "sold_in",
    "sold_in_any",
    "stretch_of",
]

_COUNTRIES: Final = (
    "AD AE AF AG AI AL AM AO AQ AR AS AT AU AW AX AZ BA BB BD BE BF BG BH BI BJ BL BM BN BO BQ BR BS BT "
    "BV BW BY BZ CA CC CD CF CG CH CI CK CL CM CN CO CR CU CV CW CX CY CZ DE DJ DK DM DO DZ EC EE EG EH "
    "ER ES ET FI FJ FK FM FO FR GA GB GD GE GF GG GH GI GL GM GN GP GQ GR GS GT GU GW GY HK HM HN HR HT "
    "HU ID IE IL IM IN IO IQ IR IS IT JE JM JO JP KE KG KH KI KM KN KP KR KW KY KZ LA LB LC LI LK LR LS "
    "LT LU LV LY MA MC MD ME MF MG MH MK ML MM MN MO MP MQ MR MS MT MU MV MW MX MY MZ NA NC NE NF NG NI "
    "NL NO NP NR NU NZ OM PA PE PF PG PH PK PL PM PN PR PS PT PW PY QA RE RO RS RU RW SA SB SC SD SE SG "
    "SH SI SJ SK SL SM SN SO SR SS ST SV SX SY SZ TC TD TF TG TH TJ TK TL TM TN TO TR TT TV TW TZ UA UG "
    "UM US UY UZ VA VC VE VG VI VN VU WF WS YE YT ZA ZM ZW"
)
COUNTRIES: Final = frozenset(_COUNTRIES.split())
"""Country codes of ISO 3166-1 alpha-2."""

_LANGUAGES: Final = (
    "aa ab ae af ak am an ar as av ay az ba be bg bi bm bn bo br bs ca ce ch co cr cs cu cv cy da de dv "
    "dz ee el en eo es et eu fa ff fi fj fo fr fy ga gd gl gn gu gv ha he hi ho hr ht hu hy hz ia id ie "
    "ig ii ik io is it iu ja jv ka kg ki kj kk kl km kn ko kr ks ku kv kw ky la lb lg li ln lo lt lu lv "
    "mg mh mi mk ml mn mr ms mt my na nb nd ne ng nl nn no nr nv ny oc oj om or os pa pi pl ps pt qu rm "
    "rn ro ru rw sa sc sd se sg sh si sk sl sm sn so sq sr ss st su sv sw ta te tg th ti tk tl tn to tr "
    "ts tt tw ty ug uk ur uz ve vi vo wa wo xh yi yo za zh zu"
)
LANGUAGES: Final = frozenset(_LANGUAGES.split())
"""Language codes of ISO 639-1."""

# Country codes that people write where a language is meant.
_MEANT: Final = {
    "at": "de", "cn": "zh", "cz": "cs", "dk": "da", "ee": "et", "gb": "en", "gr": "el", "il": "he",
    "ir": "fa", "jp": "ja", "kp": "ko", "mx": "es", "rs": "sr", "ua": "uk", "us": "en", "vn": "vi",
}  # fmt: skip


@frozen
class Withdrawn:
    """A country that no longer exists, or whose code was changed.

    Attributes:
        name: the country.
        two: its code of ISO 3166-1 while that was in use.
        until: the year in which the code was withdrawn.
        successors: the codes that came in its place then, or were there already.
    """

    name: str
    two: str
    until: int
    successors: tuple[str, ...]


WITHDRAWN: Final[Mapping[str, Withdrawn]] = {
    four: Withdrawn(name, two, until, tuple(successors.split()))
    for four, name, two, until, successors in (
        ("AIDJ", "French Afars and Issas", "AI", 1977, "DJ"),
        ("ANHH", "Netherlands Antilles", "AN", 2010, "BQ CW SX"),
        ("BQAQ", "British Antarctic Territory", "BQ", 1979, "AQ"),
        ("BUMM", "Burma", "BU", 1989, "MM"),
        ("BYAA", "Byelorussian SSR", "BY", 1992, "BY"),
        ("CSHH", "Czechoslovakia", "CS", 1993, "CZ SK"),
        ("CSXX", "Serbia and Montenegro", "CS", 2006, "ME RS"),
        ("CTKI", "Canton and Enderbury Islands", "CT", 1984, "KI"),
        ("DDDE", "German Democratic Republic", "DD", 1990, "DE"),
        ("DYBJ", "Dahomey", "DY", 1977, "BJ"),
        ("FQHH", "French Southern and Antarctic Territories", "FQ", 1979, "AQ TF"),
        ("FXFR", "Metropolitan France", "FX", 1997, "FR"),
        ("GEHH", "Gilbert and Ellice Islands", "GE", 1979, "KI TV"),
        ("HVBF", "Upper Volta", "HV", 1984, "BF"),
        ("JTUM", "Johnston Island", "JT", 1986, "UM"),
        ("MIUM", "Midway Islands", "MI", 1986, "UM"),
        ("NHVU", "New Hebrides", "NH", 1980, "VU"),
        ("NQAQ", "Dronning Maud Land", "NQ", 1983, "AQ"),
        ("NTHH", "Neutral Zone", "NT", 1993, "IQ SA"),
        ("PCHH", "Trust Territory of the Pacific Islands", "PC", 1986, "FM MH MP PW"),
        ("PUUM", "United States Miscellaneous Pacific Islands", "PU", 1986, "UM"),
        ("PZPA", "Panama Canal Zone", "PZ", 1980, "PA"),
        ("RHZW", "Southern Rhodesia", "RH", 1980, "ZW"),
        ("SKIN", "Sikkim", "SK", 1975, "IN"),
        ("SUHH", "USSR", "SU", 1992, "AM AZ EE GE KZ KG LT LV MD RU TJ TM UZ"),
        ("TPTL", "East Timor", "TP", 2002, "TL"),
        ("VDVN", "Viet-Nam, Democratic Republic of", "VD", 1977, "VN"),
        ("WKUM", "Wake Island", "WK", 1986, "UM"),
        ("YDYE", "Yemen, Democratic", "YD", 1990, "YE"),
        ("YUCS", "Yugoslavia", "YU", 2003, "CS"),
        ("ZRCD", "Zaire", "ZR", 1997, "CD"),
    )
}
"""Withdrawn codes of ISO 3166-3. Years are those of the withdrawal; successors those of the day."""

# Codes of ISO 3166-1 that are younger than its first edition (1974), by what was there before. Where a code
# was not withdrawn at once for them (Yugoslavia, Ethiopia, Sudan), the year is that of their own code.
_CAME_AFTER: Final = {
    "AIDJ": "DJ", "ANHH": "BQ CW SX", "BUMM": "MM", "CSHH": "CZ SK", "DYBJ": "BJ", "GEHH": "KI TV",
    "HVBF": "BF", "NHVU": "VU", "PCHH": "FM MH MP PW", "RHZW": "ZW", "TPTL": "TL", "ZRCD": "CD",
    "SUHH": "AM AZ EE GE KZ KG LT LV MD RU TJ TM UZ",
}  # fmt: skip
_SINCE: Final[Mapping[str, tuple[int, str]]] = {
    **{new: (WITHDRAWN[four].until, four) for four, codes in _CAME_AFTER.items() for new in codes.split()},
    **dict.fromkeys(("BA", "HR", "SI"), (1992, "YUCS")),
    "MK": (1993, "YUCS"),
    **dict.fromkeys(("ME", "RS"), (2006, "CSXX, and YUCS before that")),
    "ER": (1993, "ET"),
    "SS": (2011, "SD"),
}


def country_exists(code: str) -> bool:
    """Whether ``code`` is a country's code of ISO 3166-1 or ISO 3166-3."""
    return code in COUNTRIES or code in WITHDRAWN


def country_existed(code: str, date: Date) -> Answer:
    """Whether the country of ``code`` was there under that code at ``date``; no where it surely was not."""
    shown = clip(code, 20)
    gone = WITHDRAWN.get(code)
    if gone is not None:
        if surely_before(_year(gone.until), date):
            successors = listed(gone.successors, 9)
            return Answer.no(
                f"{shown} ({gone.name}) was withdrawn in {gone.until}; after it came {successors}"
            )
        return Answer.yes(f"{shown} is {gone.name}, a code until {gone.until}")
    if code not in COUNTRIES:
        return Answer.unknown(f"{shown} is no country code of ISO 3166")
    since = _SINCE.get(code)
    if since is not None and surely_before(date, _year(since[0])):
        return Answer.no(f"{shown} is a code since {since[0]}; before that it was {since[1]}")
    return Answer.yes(f"{shown} is a code of ISO 3166-1")


def _year(year: int) -> Date:
    return Date.parse(f"{year:04}")


def origin_fits(index: Index, code: str, when: Bounds) -> Answer:
    """Whether a card that reached the shops within ``when`` can name ``code`` as its country of origin.

    No only where the country surely was not there under that code: where it was printed is another matter.
    """
    stretch = stretch_of(when)
    if stretch is None:
        return Answer.unknown("when it reached the shops is not recorded")
    records = tuple(limit.record for limit in (when.earliest, when.latest) if limit is not None)
    answer = country_existed(code, stretch)
    return Answer(answer.verdict, answer.because, tuple(dict.fromkeys(records)), index.sources_of(records))


def stretch_of(when: Bounds) -> Date | None:
    """Bounds as a date: from the earliest to the latest sure day; None where there is none, or both clash."""
    if when.contradicts_itself:
        return None
    low = when.earliest if when.earliest is not None and not when.earliest.about else None
    high = when.latest if when.latest is not None and not when.latest.about else None
    if low is None and high is None:
        return None
    return Date.parse(f"{low.day if low else ''}/{high.day if high else ''}")


# --- languages -------------------------------------------------------------------------------------------


def main_language(tag: str) -> str:
    """The language of a BCP 47 tag, without script and region: ``pt`` of ``pt-BR``."""
    return tag.partition("-")[0]


def language_exists(tag: str) -> bool:
    """Whether the language of a BCP 47 tag is one of ISO 639-1; three letters are taken as they are."""
    language = main_language(tag)
    return len(language) == 3 or language in LANGUAGES


def language_meant(tag: str) -> str:
    """The language that was probably meant by a country's code written in its place, or ""."""
    return _MEANT.get(main_language(tag), "")


@kept
def _sold_in(index: Index) -> Mapping[str, frozenset[str]]:
    return {full: frozenset(map(main_language, maker.languages)) for full, maker in index.makers.items()}


def sold_in(index: Index, maker: str) -> frozenset[str]:
    """The languages of a maker's cards (full id), without regions; empty where that is not recorded."""
    return _sold_in(index).get(maker, frozenset())


def sold_in_any(index: Index, maker: str, tags: Iterable[str]) -> Answer:
    """Whether a card in the languages ``tags`` (BCP 47) can be a maker's (full id).

    No where the maker's languages are recorded and none of them is among the tags.
    """
    known = sold_in(index, maker)
    seen = tuple(dict.fromkeys(map(main_language, tags)))
    if not known or not seen:
        return Answer.unknown(
            f"the languages of {'the card' if known else called(index, maker)} are not recorded"
        )
    record = index.makers[maker]
    grounds = (maker,), record.sources
    said = f"cards of {called(index, maker)} are recorded in {listed(sorted(known), 9)}"
    if known.isdisjoint(seen):
        return Answer.no(f"{said}, not in {clip(listed(seen, 9), 80)}", *grounds)
    return Answer.yes(said, *grounds)
