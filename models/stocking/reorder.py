"""When to order more: the reorder point, its formula and the reason in words.

Reorder point = usage a day × lead time + safety stock. Safety stock = z · σ, where σ is the spread of what is used in
one lead time and z the quantile of the normal distribution for the service level. With usage spread σd a day and lead
time spread σL days: σ = √(L·σd² + d²·σL²) (Stevenson, Operations Management, "Reorder point with uncertain demand and
lead time"). Usage and lead time are taken as independent.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from models.errors import InvalidInputError


@dataclass(frozen=True, slots=True)
class ReorderPoint:
    """Order when free stock falls to `quantity` (whole base units, rounded up). The parts are unrounded base units."""

    quantity: int
    during_lead: float
    safety: float
    z: float
    reason: str


def reorder_point(
    usage_per_day: float,
    lead_days: float,
    *,
    service_level: float,
    usage_spread: float = 0.0,
    lead_spread: float = 0.0,
    unit: str = "",
) -> ReorderPoint:
    """The stock at which to order more, so that the share `service_level` of lead times ends without running out.

    `usage_spread` is the standard deviation of one day's usage, `lead_spread` that of the lead time in days; `unit` is
    the word behind quantities in the reason. Raises InvalidInputError for numbers below zero or a service level that
    is not at least one half and below one.
    """
    for what, value in (
        ("usage a day", usage_per_day),
        ("lead time", lead_days),
        ("spread of the usage", usage_spread),
        ("spread of the lead time", lead_spread),
    ):
        if not math.isfinite(value) or value < 0:
            raise InvalidInputError(f"The {what} is {value:g}.", "Give zero or more.")
    if not 0.5 <= service_level < 1:
        raise InvalidInputError(
            f"A service level of {service_level:g} can't be planned for.",
            "Give 0.5 to 0.999, like 0.95.",
        )
    z = NormalDist().inv_cdf(service_level)
    during_lead = usage_per_day * lead_days
    safety = z * math.sqrt(lead_days * usage_spread**2 + (usage_per_day * lead_spread) ** 2)
    quantity = math.ceil(round(during_lead + safety, 9))
    return ReorderPoint(
        quantity,
        during_lead,
        safety,
        z,
        _reason(usage_per_day, lead_days, during_lead, safety, service_level, quantity, unit),
    )


def _reason(
    usage: float, lead: float, during_lead: float, safety: float, service_level: float, quantity: int, unit: str
) -> str:
    after = f" {unit}" if unit else ""
    month = 30.0
    spare = (
        f", and {safety:.3g} more in reserve so that {service_level * 100:.3g} % of waits end without running out"
        if safety > 0
        else ""
    )
    return (
        f"About {usage * month:.3g}{after} are used in 30 days and a new order takes {lead:g} days: "
        f"{during_lead:.3g} go meanwhile{spare}. Order at {quantity}{after}."
    )
