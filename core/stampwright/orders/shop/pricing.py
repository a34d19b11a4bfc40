"""What a stamp is sold for, by the rule of its job: filament, machine and hands, and a margin on all of it."""

from __future__ import annotations

from ...job.sections.printing import PriceSection


def price_of(rule: PriceSection, cost: float, minutes: float) -> float:
    """Return the price of one stamp, in the currency of the rule, to the hundredth.

    ``cost``: of its filament; ``minutes``: of printing.

    >>> price_of(PriceSection(machine_per_hour=1.0, hand_minutes=15.0, hand_per_hour=20.0, margin=0.5), 2.0, 180.0)
    15.0
    """
    machine = rule.machine_per_hour * minutes / 60.0
    hands = rule.hand_per_hour * rule.hand_minutes / 60.0
    return round((cost + machine + hands) * (1.0 + rule.margin) + 1e-9, 2)
