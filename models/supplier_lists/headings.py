"""What suppliers write above their columns, in English, German, French and Spanish. Common practice, no source."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from models.supplier_lists.words import Field
from models.text import fold


class Named(NamedTuple):
    """A field that a header names, how sure that is, and the packs a price break starts from."""

    field: Field
    confidence: float
    from_packs: int | None = None


_WHOLE: Final[dict[str, Field]] = {
    name: field
    for field, names in {
        Field.NUMBER: (
            "number|no|nr|sku|code|item|item no|item number|item code|part|part no|part number|part nr|article"
            "|article no|article number|product code|product no|order no|order code|catalog no|catalogue no|stock code"
            "|artikel|artikelnummer|artikel nr|art nr|bestellnummer|bestell nr|teilenummer|materialnummer|sachnummer"
            "|reference|ref|code article|numero d article|numero|codigo|referencia|cod"
        ),
        Field.NAME: (
            "name|description|item description|product|product name|title|text|designation|bezeichnung|beschreibung"
            "|artikelbezeichnung|benennung|libelle|descripcion|denominacion|nombre"
        ),
        Field.PRICE: (
            "price|unit price|net price|net|list price|cost|price each|your price|preis|einzelpreis|nettopreis|netto"
            "|listenpreis|vk|ek|prix|prix unitaire|prix net|tarif|precio|precio unitario|precio neto"
        ),
        Field.PRICE_PER: "price per|per|price unit|preiseinheit|pe|preis je|je|prix par|precio por|unidad de precio",
        Field.CURRENCY: "currency|cur|ccy|waehrung|wahrung|devise|monnaie|moneda|divisa",
        Field.PACK: (
            "pack|pack size|pack qty|pack quantity|package|package size|quantity per pack|qty per pack|pcs per pack"
            "|contents|content|size of pack|vpe|verpackungseinheit|inhalt|menge|conditionnement|contenance|qte"
            "|envase|contenido|cantidad"
        ),
        Field.UNIT: "unit|uom|unit of measure|einheit|me|mengeneinheit|unite|unidad|ud",
        Field.MIN_PACKS: (
            "moq|min|min qty|minimum|minimum order|min order|min order qty|mindestmenge|mindestbestellmenge"
            "|minimum de commande|pedido minimo"
        ),
        Field.LEAD_DAYS: (
            "lead|lead days|lead time|lead time days|delivery|delivery days|lieferzeit"
            "|lieferzeit tage|delai|delai jours"
            "|plazo|plazo de entrega"
        ),
        Field.GTIN: "gtin|ean|ean13|ean code|barcode|bar code|upc|strichcode|code barre|codigo de barras",
    }.items()
    for name in names.split("|")
}
_FROM: Final = re.compile(
    r"(?:price|preis|prix|precio|net)?\s*(?:from|ab|des|desde|>=|>)?\s*(\d{1,6})\s*(?:\+|pcs|packs|stk|ab)?"
)
_SAYS_FROM: Final = re.compile(r"price|preis|prix|precio|from|\bab\b|desde|>|\+")


def named(header: str) -> Named | None:
    """What a header names, or None. A word of it that is known counts less than the whole."""
    plain = " ".join(re.sub(r"[^\w>+=]+", " ", fold(header)).split())
    if not plain:
        return None
    if plain in _WHOLE:
        return Named(_WHOLE[plain], 0.95)
    step = _FROM.fullmatch(plain)
    if step is not None and _SAYS_FROM.search(plain) and int(step[1]) > 1:
        return Named(Field.PRICE_FROM, 0.85, int(step[1]))
    without_currency = re.sub(r"\b(?:eur|usd|gbp|chf|aud|cad|nzd|jpy|euro?s?)\b", "", plain).strip()
    if without_currency in _WHOLE:
        return Named(_WHOLE[without_currency], 0.9)
    parts = [_WHOLE[word] for word in plain.split() if word in _WHOLE and len(word) > 2]
    if parts and all(part is parts[0] for part in parts):
        return Named(parts[0], 0.6)
    return None
