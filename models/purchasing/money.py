"""Money as whole minor units (cents) with a currency, exact exchange, and how it is written out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from models.errors import InvalidInputError

# ISO 4217 gives every currency its number of decimals; 2 unless it stands here.
_NO_DECIMALS: Final = frozenset(
    [
        "BIF",
        "CLP",
        "DJF",
        "GNF",
        "ISK",
        "JPY",
        "KMF",
        "KRW",
        "PYG",
        "RWF",
        "UGX",
        "UYI",
        "VND",
        "VUV",
        "XAF",
        "XOF",
        "XPF",
    ]
)
_THREE_DECIMALS: Final = frozenset(["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"])


class CurrencyMixError(InvalidInputError):
    """Prices in different currencies can't be added up without exchange rates."""

    title = "Prices in different currencies"


def decimals(currency: str) -> int:
    """How many decimals the currency's minor unit has (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD."""
    return 0 if currency in _NO_DECIMALS else 3 if currency in _THREE_DECIMALS else 2


def written(minor: Fraction | int, currency: str) -> str:
    """An amount in minor units as a person writes it: `written(123456, "EUR")` is "1234.56 EUR". Halves go up."""
    places = decimals(currency)
    whole = rounded(minor)
    digits = str(abs(whole)).rjust(places + 1, "0")
    amount = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"{'-' if whole < 0 else ''}{amount} {currency}"


def rounded(minor: Fraction | int) -> int:
    """The nearest whole minor unit; a half goes away from zero."""
    exact = Fraction(minor)
    size = (2 * abs(exact.numerator) + exact.denominator) // (2 * exact.denominator)
    return -size if exact < 0 else size


@dataclass(frozen=True, slots=True)
class Exchange:
    """Rates into one currency. `rates["USD"]` says how many `currency` one USD is worth: whole units, not cents."""

    currency: str
    rates: Mapping[str, Fraction]

    def minor_rate(self, other: str) -> Fraction:
        """What one minor unit of `other` is worth in minor units of `currency`. Raises CurrencyMixError if unknown."""
        if other == self.currency:
            return Fraction(1)
        if other not in self.rates:
            raise CurrencyMixError(
                f"There is no exchange rate from {other} to {self.currency}.", f"Give what 1 {other} is worth."
            )
        rate = Fraction(self.rates[other])
        if rate <= 0:
            raise CurrencyMixError(
                f"The exchange rate from {other} is not above zero.", f"Give what 1 {other} is worth."
            )
        return rate * Fraction(10) ** (decimals(self.currency) - decimals(other))


def common_rates(currencies: Iterable[str], exchange: Exchange | None) -> tuple[str, dict[str, Fraction]]:
    """The currency to add up in, and what a minor unit of each currency is worth in its minor units.

    Raises CurrencyMixError when there is more than one currency and no rates, or a rate is missing.
    """
    names = sorted(set(currencies))
    if exchange is None:
        if len(names) > 1:
            raise CurrencyMixError(
                f"The suppliers ask for {' and '.join(names)}, which can't be added up as they are.",
                "Give exchange rates, or plan with suppliers of one currency.",
            )
        return (names[0] if names else ""), dict.fromkeys(names, Fraction(1))
    return exchange.currency, {name: exchange.minor_rate(name) for name in names}
