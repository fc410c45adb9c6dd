"""Exact money: whole smallest coins inside, Decimal at the edge; shares add up to the coin."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal, localcontext

from layout_core.errors import PlanError

MOST_AMOUNT = Decimal(10) ** 12
_PRECISION = 50


def coins(amount: Decimal, decimals: int) -> int:
    """The amount in whole smallest coins, halves rounded up (away from zero)."""
    with localcontext(prec=_PRECISION):
        return int((amount * (Decimal(10) ** decimals)).to_integral_value(ROUND_HALF_UP))


def amount_of(coin_count: int, decimals: int) -> Decimal:
    """Whole smallest coins as an amount with exactly so many decimals."""
    with localcontext(prec=_PRECISION):
        return Decimal(coin_count).scaleb(-decimals)


def shares(total: int, weights: Sequence[int]) -> tuple[int, ...]:
    """The total parted by the weights in whole coins that add up to it exactly.

    What rounding leaves over goes, a coin each, to the largest fractions; ties to the earlier one. Raises
    PlanError when nothing has a weight but there is something to share.
    """
    whole = sum(weights)
    if any(weight < 0 for weight in weights):
        raise PlanError("a share must not be less than nothing")
    if whole == 0:
        if total:
            raise PlanError("there is nobody to share the cost")
        return (0,) * len(weights)
    parts = [total * weight // whole for weight in weights]
    rests = [total * weight % whole for weight in weights]
    by_rest = sorted(range(len(weights)), key=lambda at: (-rests[at], at))
    for at in by_rest[: total - sum(parts)]:
        parts[at] += 1
    return tuple(parts)


def written(amount: Decimal, currency: str) -> str:
    """The amount as a person reads it: "$1,234.50", "EUR 9.00"; a minus stands before everything."""
    sign = "-" if amount < 0 else ""
    space = " " if currency[-1:].isalpha() else ""
    return f"{sign}{currency}{space}{abs(amount):,}"
