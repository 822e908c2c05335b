"""The words of orders: where one stands, and what was done to it."""

from __future__ import annotations

from enum import StrEnum


class OrderState(StrEnum):
    """Where an order stands, told from its steps and receipts; never stored."""

    PLANNED = "planned"
    ORDERED = "ordered"
    PART_RECEIVED = "part received"
    RECEIVED = "received"
    CALLED_OFF = "cancelled"


class OrderStepWord(StrEnum):
    """What a person did to an order: sent it to the supplier, or called off what has not come."""

    ORDERED = "ordered"
    CALLED_OFF = "called off"
