"""Check digits and barcode numbers against published examples and the package ``python-stdnum``.

Sources: GS1 "How to calculate a check digit manually" and General Specifications (the GTINs), the worked
example of ISO/IEC 7064 for MOD 11,10 (0794 and its check character), and the account number that is the
usual worked example of the Luhn formula (ISO/IEC 7812-1). The numbers are from memory; the second opinion
confirms them.
"""

import random
from collections.abc import Callable

import pytest
from stdnum import ean, luhn
from stdnum.exceptions import ValidationError
from stdnum.iso7064 import mod_11_10

from cardref.notation.checkdigit import ALGORITHMS
from cardref.notation.gtin import Gtin

PUBLISHED = [
    ("gtin", "6291041500213"),
    ("gtin", "7300011000017"),
    ("gtin", "8904000210037"),
    ("luhn", "79927398713"),
    ("mod11-10", "07945"),
    ("mod11-10", "794623"),
]

SECOND: dict[str, Callable[[str], str]] = {
    "gtin": ean.calc_check_digit,
    "luhn": luhn.calc_check_digit,
    "mod11-10": mod_11_10.calc_check_digit,
}


@pytest.mark.parametrize(("name", "number"), PUBLISHED)
def test_published_examples(name: str, number: str) -> None:
    """The last digit of each published number is the check digit of the others."""
    assert str(ALGORITHMS[name](number[:-1])) == number[-1]


@pytest.mark.parametrize("name", sorted(ALGORITHMS))
def test_a_second_opinion_on_random_numbers(name: str) -> None:
    """python-stdnum gives the same check digit for numbers of 1 to 40 digits."""
    rng = random.Random(name)
    for _ in range(2000):
        payload = "".join(rng.choices("0123456789", k=rng.randrange(1, 41)))
        assert str(ALGORITHMS[name](payload)) == SECOND[name](payload), payload


def second_verdict(text: str) -> bool:
    """Whether python-stdnum takes the text as an EAN of its 8, 12, 13 or 14 digits."""
    try:
        return bool(ean.validate(text) == text)
    except ValidationError:
        return False


def test_a_second_opinion_on_barcode_numbers() -> None:
    """python-stdnum takes and refuses the same digit strings of any length, right check digit or not."""
    rng = random.Random(14)
    taken = 0
    for _ in range(4000):
        text = "".join(rng.choices("0123456789", k=rng.choice([7, 8, 8, 9, 11, 12, 12, 13, 13, 14, 14, 15])))
        if rng.random() < 0.5:
            text = text[:-1] + SECOND["gtin"](text[:-1])
        taken += Gtin.is_valid(text)
        assert Gtin.is_valid(text) == second_verdict(text), text
    assert taken > 1000
