"""Money as typed: a currency, an amount in it, and what one of another currency is worth."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar

from models import purchasing
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.words import shown

if TYPE_CHECKING:
    from models.purchasing.money import Exchange


class Currency(Field[str]):
    """A currency by its three letters (ISO 4217), in capitals."""

    METAVAR: ClassVar[str] = "CODE"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "three letters, as EUR"

    def read(self, text: str, asked: Asked) -> str:
        """The letters. Raises `FieldError`."""
        if not (len(text) == 3 and text.isascii() and text.isalpha()):
            raise FieldError(f"{shown(text)} is not a currency; type its three letters, as EUR")
        return text.upper()


@dataclass(frozen=True)
class Money(Field["int | None"]):
    """An amount in minor units (cents) of the currency that the field `of` holds. `9.90` and `9,90` are the same."""

    METAVAR: ClassVar[str] = "AMOUNT"

    of: str = "currency"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"an amount, as 9.90 {asked.values.get(self.of) or ''}".rstrip()

    def read(self, text: str, asked: Asked) -> int | None:
        """Minor units. Raises `FieldError`, also for an amount finer than the smallest coin."""
        currency: str = asked.values.get(self.of) or ""
        number = text.upper().removeprefix(currency).removesuffix(currency).strip()
        found = re.fullmatch(r"([0-9]{1,13})(?:[.,]([0-9]{1,6}))?", number, re.ASCII)
        if found is None:
            raise FieldError(f"{shown(text)} is not {self.hint(asked)}")
        places, part = purchasing.money.decimals(currency), (found[2] or "").rstrip("0")
        if len(part) > places:
            raise FieldError(f"{shown(text)} is finer than the currency's smallest coin; round it")
        return int(found[1] + part.ljust(places, "0"))

    def echo(self, value: int | None, asked: Asked) -> str:
        """The amount with its currency."""
        currency: str = asked.values.get(self.of) or ""
        return "" if value is None or not currency else purchasing.money.written(value, currency)


@dataclass(frozen=True)
class InCurrency(Field["Exchange | None"]):
    """The currency to add up in, on the command line with what one of each other currency is worth in it."""

    METAVAR: ClassVar[str] = "EUR"

    must: bool = False
    option: str = "in"

    def options(self) -> tuple[Option, ...]:
        """The currency, and a rate for each of the others."""
        return (
            Option(self.name, self.flag, self.METAVAR, "add up in this currency, with --rate"),
            Option("rate", "--rate", "USD=0.92", "what one of another currency is worth", takes="many"),
        )

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return Currency(self.name, self.label).hint(asked)

    def read(self, text: str, asked: Asked) -> Exchange | None:
        """The currency, without rates. Raises `FieldError`."""
        return purchasing.money.Exchange(Currency(self.name, self.label).read(text, asked), {})

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Exchange | None:
        """The currency with its rates. Raises `FieldError`."""
        found = super().from_words(words, asked)
        rates = dict(_rate(text) for text in (words.get("rate") or "").split("\n") if text)
        if found is None:
            if rates:
                raise FieldError("--rate needs --in: say which currency to add up in", "-")
            return None

        return purchasing.money.Exchange(found.currency, rates)


def _rate(text: str) -> tuple[str, Fraction]:
    name, _, worth = text.partition("=")
    found = re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,12})?", worth.strip(), re.ASCII)
    if found is None or not Fraction(found[0].replace(",", ".")):
        raise FieldError(f"{shown(text)} is not a rate; type it as USD=0.92", "--rate")
    return name.strip().upper(), Fraction(found[0].replace(",", "."))
