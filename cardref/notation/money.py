"""A price: an amount in one currency, written ``12.50 EUR``. Exact; never turned into another currency.

>>> price = Money.parse("12.50 EUR")
>>> price.amount, price.currency, str(price)
(Decimal('12.50'), 'EUR', '12.50 EUR')
>>> str(Money.parse("1200.00 JPY")), Money.parse("12.5 EUR") == price
('1200 JPY', True)
>>> totals([price, Money.parse("7 EUR"), Money.parse("3 GBP")])
{'EUR': Decimal('19.50'), 'GBP': Decimal('3')}

What is exactly taken: digits, perhaps a point and one to four decimals, one blank, and a code of ISO 4217.
What was probably meant by another way of writing is told, never assumed:

>>> probable("12,50 EUR"), probable("€ 12.50"), probable("1,234 EUR")
(('12.50 EUR',), ('12.50 EUR',), ('1.234 EUR', '1234 EUR'))

The codes are those of ISO 4217:2015: list one with its amendments up to 2026, tested equal to the package
``pycountry``; and of list three, codes that are no longer in use, those for money that was in use in 1970 or
later, from memory and tested to be known to the package ``Babel`` (Unicode CLDR).
"""

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Final, Self, final

from cardref.errors import NotationError
from cardref.notation.value import Value, must_be_text
from cardref.text import closest, quoted

__all__ = ["CURRENT", "SIGNS", "WITHDRAWN", "Money", "probable", "totals"]


def _codes_of(table: str) -> frozenset[str]:
    return frozenset(table.split())


CURRENT: Final = _codes_of(
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD
    CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL
    GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW
    KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD
    NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP
    SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW UZS
    VED VES VND VUV WST XAD XAF XAG XAU XBA XBB XBC XBD XCD XCG XDR XOF XPD XPF XPT XSU XTS XUA XXX YER
    ZAR ZMW ZWG
    """
)
"""The codes in use."""

WITHDRAWN: Final = _codes_of(
    """
    ADP ANG AOK AON AOR ARA ARP ATS AZM BAD BEC BEF BEL BGL BGN BOP BRB BRC BRE BRN BRR BUK BYB BYR
    CSD CSK CUC CYP DDM DEM ECS ECV EEK ESA ESB ESP FIM FRF GEK GHC GNS GQE GRD GWE GWP HRD HRK IEP ILP
    ILR ISJ ITL LTL LTT LUC LUF LUL LVL LVR MGF MLF MRO MTL MTP MXP MZE MZM NIC NLG PEI PES PLZ PTE RHD
    ROL RUR SDD SDP SIT SKK SLL SRG STD SUR TJR TMM TPE TRL UAK UGS USS UYP VEB VEF XEU YDD YUD YUM YUN
    ZAL ZMK ZRN ZRZ ZWD ZWL ZWR
    """
)
"""Codes of money no longer in use: what was paid in it was paid in it. The old Afghani is left out."""

SIGNS: Final[dict[str, tuple[str, ...]]] = {
    "€": ("EUR",),
    "£": ("GBP",),
    "₩": ("KRW",),
    "₹": ("INR",),
    "zł": ("PLN",),
    "$": ("USD", "CAD", "AUD"),
    "¥": ("JPY", "CNY"),
    "kr": ("NOK", "SEK", "DKK"),
}
"""Signs and what they may stand for, the likeliest first (common practice, no source)."""

_EXPECTED: Final = "an amount and a currency code of ISO 4217, such as 12.50 EUR"
_FORM: Final = re.compile(r"(0|[1-9][0-9]{0,11})(\.[0-9]{1,4})? ([A-Z]{3})")
_LONGEST: Final = 60


@final
class Money(Value):
    """An amount in one currency. There is no ``<``: prices in two currencies have no order.

    Attributes:
        amount: how much, exact, at least 0.
        currency: code of ISO 4217, in use or withdrawn.

    Raises:
        NotationError: for a negative, endless or too finely written amount, or an unknown currency.
        TypeError: where the amount is neither Decimal nor int.
    """

    __slots__ = ("amount", "currency")

    amount: Decimal
    currency: str

    def __init__(self, amount: Decimal | int, currency: str) -> None:
        if type(amount) is not int and not isinstance(amount, Decimal):
            raise TypeError(f"an amount is made of Decimal or int, not {type(amount).__name__}")
        amount = Decimal(amount)
        code = must_be_text(currency, "a currency")
        if not amount.is_finite() or amount < 0 or amount >= 10**12 or round(amount, 4) != amount:
            raise NotationError(str(amount)[:_LONGEST], (0, 0), _EXPECTED, "no amount that somebody pays")
        if code not in CURRENT and code not in WITHDRAWN:
            raise _unknown(code, code, 0)
        object.__setattr__(self, "amount", amount)
        object.__setattr__(self, "currency", code)

    @classmethod
    def parse(cls, text: str) -> Self:
        """The price that ``text`` says.

        Raises:
            NotationError: where it is not written so; its suggestions are what was probably meant.
            TypeError: where ``text`` is no string.
        """
        match = _FORM.fullmatch(must_be_text(text, "a price"))
        if match is None:
            raise _fault(text)
        code = match.group(3)
        if code not in CURRENT and code not in WITHDRAWN:
            raise _unknown(text, code, match.start(3))
        return cls(Decimal(match.group(1) + (match.group(2) or "")), code)

    @classmethod
    def is_valid(cls, text: object) -> bool:
        """Whether ``text`` is a price as :meth:`parse` takes it. Never raises."""
        if not isinstance(text, str):
            return False
        match = _FORM.fullmatch(text)
        return match is not None and (match.group(3) in CURRENT or match.group(3) in WITHDRAWN)

    def __str__(self) -> str:
        return f"{shown(self.amount)} {self.currency}"

    def __repr__(self) -> str:
        return f"Money({shown(self.amount)!r}, {self.currency!r})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Money):
            return NotImplemented
        return self.amount == other.amount and self.currency == other.currency

    def __hash__(self) -> int:
        return hash((self.amount, self.currency))

    def __reduce__(self) -> tuple[Any, ...]:
        return Money, (self.amount, self.currency)


def shown(amount: Decimal) -> str:
    """An amount in digits: none behind the point, or at least two.

    >>> shown(Decimal("12.5")), shown(Decimal("12.000")), shown(Decimal("1.2345"))
    ('12.50', '12', '1.2345')
    """
    whole, _, decimals = f"{amount:f}".partition(".")
    decimals = decimals.rstrip("0")
    return f"{whole}.{decimals:0<2}" if decimals else whole


def totals(prices: Iterable[Money]) -> dict[str, Decimal]:
    """The sum of prices by currency, by code. Sums of different currencies are never added up."""
    found: dict[str, Decimal] = {}
    for price in prices:
        found[price.currency] = found.get(price.currency, Decimal(0)) + price.amount
    return dict(sorted(found.items()))


# --- what was probably meant -----------------------------------------------------------------------------

_LOOSE: Final = re.compile(r"([^\d\s.,]*)\s*(\d[\d.,'\s]*?)\s*([^\d\s.,]*)")
_DECIMALS: Final = re.compile(r"(\d{1,3}(?:[.,'\s]?\d{3})*|\d+)(?:([.,])(\d{1,2}))?")


def probable(text: str) -> tuple[str, ...]:
    """The prices, properly written, that ``text`` was probably meant to be; empty where nobody can tell.

    A comma or point before three digits may part thousands or decimals: both are given, decimals first.
    """
    if len(text) > _LONGEST:
        return ()
    match = _LOOSE.fullmatch(text.strip())
    if match is None:
        return ()
    before, number, after = match.groups()
    if before and after:
        return ()
    return tuple(f"{amount} {code}" for code in _codes(before or after) for amount in _amounts(number))


def _codes(word: str) -> tuple[str, ...]:
    if word in SIGNS:
        return SIGNS[word]
    code = word.upper()
    if code in CURRENT or code in WITHDRAWN:
        return (code,)
    return closest(code, sorted(CURRENT - {"XXX", "XTS"}), 1) if code else ()


def _amounts(number: str) -> tuple[str, ...]:
    """The amounts that a way of writing digits may stand for."""
    found = []
    lone = re.fullmatch(r"(\d{1,3})([.,])(\d{3})", number)
    if lone:
        found = [f"{lone.group(1)}.{lone.group(3)}", lone.group(1) + lone.group(3)]
    else:
        match = _DECIMALS.fullmatch(number)
        if match is None:
            return ()
        whole = re.sub(r"[.,'\s]", "", match.group(1))
        found = [f"{whole}.{match.group(3)}" if match.group(3) else whole]
    plain = [re.sub(r"^0+(?=\d)", "", one) for one in found]
    return tuple(one for one in plain if _FORM.fullmatch(f"{one} EUR"))


def _fault(text: str) -> NotationError:
    meant = probable(text)
    end = min(len(text), _LONGEST)
    comma = text.find(",")
    if comma >= 0:
        return NotationError(
            text, (comma, comma + 1), "a point before the decimals", "a comma in an amount", meant
        )
    loose = _LOOSE.fullmatch(text) if len(text) <= _LONGEST else None
    word = next(filter(None, loose.group(1, 3)), "") if loose else ""
    if word.isalpha() and word not in SIGNS and word.upper() not in CURRENT | WITHDRAWN:
        return _unknown(text, word, text.index(word))
    if not any("A" <= sign.upper() <= "Z" for sign in text) and any(sign.isdigit() for sign in text):
        sign = next((at for at, one in enumerate(text) if one in SIGNS), -1)
        if sign >= 0:
            several = len(SIGNS[text[sign]]) > 1
            problem = (
                f"{text[sign]} is the sign of several currencies" if several else "a sign for a currency"
            )
            return NotationError(text, (sign, sign + 1), _EXPECTED, problem, meant)
        return NotationError(text, (end, end), _EXPECTED, "no currency", meant)
    return NotationError(text, (0, end), _EXPECTED, "" if text else "empty", meant)


def _unknown(text: str, code: str, start: int) -> NotationError:
    return NotationError(
        text,
        (start, start + len(code)),
        "a currency code of ISO 4217, such as EUR, GBP or USD",
        f"there is no currency {quoted(code)}",
        probable(text),
    )
