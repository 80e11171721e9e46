"""Who issues a barcode's prefix: GS1's published list of company prefixes, as the package ``biip`` has it."""

from functools import cache

from biip import ParseError
from biip.gs1_prefixes import GS1Prefix

from cardref.notation.gtin import PREFIXES

# Organisations whose own name is not "GS1" and the English name of the country, as GS1 writes them.
NAMED = {
    "Slovenia": "Slovenija", "Bosnia and Herzegovina": "BIH (Bosnia-Herzegovina)", "Taiwan": "Chinese Taipei",
    "Kazakhstan": "Kazakstan", "Hong Kong": "Hong Kong, China", "Greece": "Association Greece",
    "North Macedonia": "Macedonia", "Belgium and Luxembourg": "Belgium & Luxembourg",
    "Ivory Coast": "Côte d'Ivoire", "United Arab Emirates": "Emirates", "Brazil": "Brasil",
    "Dominican Republic": "Republica Dominicana", "Czech Republic": "Czech", "Macau": "Macau, China",
}  # fmt: skip


@cache
def theirs(prefix: int) -> str:
    """What GS1's list says of three digits; "" for nothing."""
    try:
        found = GS1Prefix.extract(f"{prefix:03}5550000000")
    except ParseError:
        return ""
    return found.usage if found else ""


OURS = {prefix: country for first, last, country in PREFIXES for prefix in range(first, last + 1)}


def test_each_prefix_is_given_to_whom_the_list_says() -> None:
    """Every prefix that we tell an organisation for is that organisation's in the published list."""
    told = {prefix: f"GS1 {NAMED.get(country, country)}" for prefix, country in OURS.items()}
    assert told == {prefix: theirs(prefix) for prefix in OURS}


def test_no_prefix_of_a_country_that_we_tell_is_missing() -> None:
    """Of an organisation that is told, the list has no further prefix, but three that older copies lack."""
    told = {f"GS1 {NAMED.get(country, country)}" for country in OURS.values()}
    assert {prefix for prefix in range(1000) if prefix not in OURS and theirs(prefix) in told} == {
        680,
        681,
        881,
    }
