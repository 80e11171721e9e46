"""The currency codes that a price may have are those of ISO 4217.

List one, codes in use, against the package ``pycountry`` (the tables of the Debian project ``iso-codes``).
List three, withdrawn codes, against the package ``Babel`` (Unicode CLDR), which names many more: codes that
banks used and ISO never listed are among its. Amendments to ISO 4217 come a few times a year: when a newer
package disagrees, the standard's amendment has to be looked up.
"""

import pycountry
from babel.core import get_global

from cardref.notation.money import CURRENT, SIGNS, WITHDRAWN


def test_the_codes_in_use_are_those_of_the_standard() -> None:
    """Every code of ISO 4217 list one is taken, and no other is called current."""
    assert {currency.alpha_3 for currency in pycountry.currencies} == CURRENT


def test_a_withdrawn_code_was_one() -> None:
    """Every code that we call withdrawn is known to Unicode CLDR, and is not in use."""
    assert set(get_global("all_currencies")) >= WITHDRAWN
    assert not WITHDRAWN & CURRENT


def test_the_money_of_the_toys_years_is_there() -> None:
    """What somebody paid a shop in 1975 to 1995 in western Europe can be written down (Unicode CLDR).

    The last currency before the euro of each country that had one, by Babel's table of territories.
    """
    before_euro = {
        rows[-1][0]
        for territory in "AT BE CY DE EE ES FI FR GR IE IT LT LU LV MT NL PT SI SK HR BG".split()
        if (
            rows := [
                row for row in get_global("territory_currencies")[territory] if row[3] and row[0] != "EUR"
            ]
        )
    }
    assert before_euro <= WITHDRAWN


def test_a_sign_stands_for_real_codes() -> None:
    """What a sign may stand for is in use."""
    assert {code for codes in SIGNS.values() for code in codes} <= CURRENT
