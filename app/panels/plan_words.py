"""What a run plan says in words: cost and cost of a print, each sheet's load, the next cheaper tiers."""

from decimal import ROUND_HALF_UP, Decimal

from app.panels.job_words import counted
from app.planning import Worked
from layout_core.job.model import Job
from layout_core.packing.engines import FillWish
from layout_core.plan.money import amount_of, written
from layout_core.plan.prices import PriceList
from layout_core.plan.run_plan import PlanSheet


def sheet_letter(number: int) -> str:
    """The name of a planned sheet, A for the first."""
    return chr(ord("A") + number)


def each_of(cost: Decimal, count: int, prices: PriceList) -> str:
    """The cost of one of so many, rounded to the smallest coin, as a person reads it."""
    each = (cost / count).quantize(amount_of(1, prices.decimals), rounding=ROUND_HALF_UP)
    return written(each, prices.currency)


def cost_words(worked: Worked) -> str:
    """Sheets, designs, cost, and what one ordered print comes to."""
    plan, prices = worked.plan, worked.prices
    ordered = sum(piece.ordered for piece in plan.pieces)
    return (
        f"{counted(plan.sheet_count, 'sheet')} of {counted(len(plan.sheets), 'design')} cost "
        f"{written(plan.cost, prices.currency)}, {each_of(plan.cost, ordered, prices)} an ordered print. "
        f"Set-up {written(plan.setup, prices.currency)} and shipping "
        f"{written(plan.shipping, prices.currency)} are in it."
    )


def contents_words(worked: Worked, sheet: PlanSheet) -> str:
    """What lies on one sheet, such as "3 × moth, 2 × lantern"."""
    counts = ((sheet.copies(one.piece_id), one.name) for one in worked.plan.pieces)
    return ", ".join(f"{count} × {name}" for count, name in counts if count)


def tier_words(worked: Worked) -> list[str]:
    """One sentence a sheet on what its next cheaper tier would bring."""
    currency = worked.prices.currency
    said = []
    for tier in worked.tiers:
        change = f"{written(abs(tier.change), currency)} {'less' if tier.change < 0 else 'more'}"
        said.append(
            f"Sheet {sheet_letter(tier.sheet)}: {tier.more} more reach {written(tier.each, currency)} each "
            f"from {tier.run} on; all of it then costs {change if tier.change else 'the same'}."
        )
    return said


def caution_words(worked: Worked, is_current: bool, wish: FillWish) -> list[str]:
    """What to know before the plan is used: it is out of date, laid for another wish, lacks prices."""
    said = []
    if not is_current:
        said.append("The job changed since this plan; work it out again before you lay it out.")
    if _layouts_of(wish) != _layouts_of(worked.plan.wish):
        said.append(
            f"Laid with {_layouts_of(worked.plan.wish)}, but your wish for autopack is now "
            f"{_layouts_of(wish)}; work the plan out again to follow it."
        )
    if worked.fault is not None:
        said.append(f"No quotes yet: {worked.fault}.")
    if worked.plan.off_plan:
        said.append(f"On no order line, so not planned: {', '.join(worked.plan.off_plan)}.")
    if worked.prices.is_example:
        said.append("Prices are the invented example; put your own into prices.toml.")
    return said


def _layouts_of(wish: FillWish) -> str:
    """What a plan follows of a wish, in words."""
    if wish.straight_cuts:
        return "straight cuts only"
    return "holes used" if wish.use_holes else "no use of holes"


def rail_words(job: Job, prices: PriceList | None, ordered: int) -> str | None:
    """What an ordered print costs on the job's own sheets, or None where no shop prices say so."""
    used = [sheet for sheet in job.sheets if sheet.placed]
    if prices is None or prices.is_example or not ordered or not used:
        return None
    if any(not _has_price(prices, sheet.width_mm, sheet.length_mm) for sheet in used):
        return None
    cost = prices.coins(prices.shipping) + sum(
        prices.run_price(sheet.width_mm, sheet.length_mm).cost(sheet.run) for sheet in used
    )
    return f"{each_of(amount_of(cost, prices.decimals), ordered, prices)} a piece"


def _has_price(prices: PriceList, width_mm: float, length_mm: float) -> bool:
    return any(one.holds(width_mm, length_mm) for one in prices.sheets)
