"""What `plan` prints: the JSON document, amounts as strings so that they stay exact, and lines for people."""

from decimal import Decimal
from typing import Any

from layout_core.job.model import Job
from layout_core.plan.money import written
from layout_core.plan.prices import PriceList
from layout_core.plan.pricing import OrderPrice, next_tiers
from layout_core.plan.run_plan import PlanSheet, RunPlan
from layout_core.plan.what_if import Changed, Copies, MoreGarments, Room, room_of


def plan_document(plan: RunPlan, prices: PriceList, orders: tuple[OrderPrice, ...]) -> dict[str, Any]:
    """The JSON object of a run plan with the price of each order."""
    return {
        "currency": prices.currency,
        "example_prices": prices.is_example,
        "sheet_mm": [round(side, 4) for side in plan.sheet_size_mm],
        "sheets": [_sheet_document(plan, sheet) for sheet in plan.sheets],
        "pieces": [
            {"piece": one.name, "ordered": one.ordered, "made": one.made, "spares": one.spares}
            for one in plan.pieces
        ],
        "setup": str(plan.setup),
        "shipping": str(plan.shipping),
        "cost": str(plan.cost),
        "floor": str(plan.floor),
        "boxes_floor": str(plan.boxes_floor),
        "is_best_here": plan.is_best_here,
        "off_plan": list(plan.off_plan),
        "orders": [_order_document(order) for order in orders],
        "seconds": round(plan.seconds, 3),
    }


def plan_lines(plan: RunPlan, prices: PriceList, orders: tuple[OrderPrice, ...]) -> list[str]:
    """A run plan for a person: sheets, cost and what is proven, spares, then each order's price."""

    def money(amount: Any) -> str:
        return written(amount, prices.currency)

    lines = []
    for number, sheet in enumerate(plan.sheets):
        lines.append(
            f"{sheet.run} × sheet {_letter(number)}: {_contents(plan, sheet)} ({money(sheet.each)} each)"
        )
    lines.append(
        f"{plan.sheet_count} sheets cost {money(plan.cost)} "
        f"(set-up {money(plan.setup)} and shipping {money(plan.shipping)} in it)"
    )
    lines.append(floor_words(plan, prices))
    lines += [
        f"sheet {_letter(tier.sheet)}: {tier.more} more reach the tier of {tier.run} "
        f"at {money(tier.each)} each and change the cost by {money(tier.change)}"
        for tier in next_tiers(plan, prices)
    ]
    lines += [
        f"{one.name}: {one.ordered} ordered, {one.made} made, {one.spares} spare" for one in plan.pieces
    ]
    for order in orders:
        lines.append(
            f"{order.name}: {order.garments} garments for {money(order.total)}, "
            f"about {money(order.each)} each; its cost is {money(order.cost)}, "
            f"{money(order.sheets)} of it sheets"
        )
    if plan.off_plan:
        lines.append(f"on no order line, so not planned: {', '.join(plan.off_plan)}")
    if prices.is_example:
        lines.append("prices are the invented example; put your own into prices.toml")
    return lines


def more_words(found: MoreGarments, prices: PriceList) -> str:
    """What a few more garments of an order would change, as sentences."""
    sheets = f"the sheets {_change_words(found.sheets.more, prices)}"
    total = written(found.total, prices.currency)
    return (
        f"{found.count:,} more for {found.name}: {sheets}. The order then pays {total}, "
        f"{_signed(found.more_total, prices)}, about {written(found.each, prices.currency)} a garment."
    )


def more_document(grown: tuple[MoreGarments, ...]) -> dict[str, Any]:
    """The JSON keys of what more garments would cost; none where nobody asked."""
    if not grown:
        return {}
    return {
        "more": [
            {
                "order": one.name,
                "garments": one.count,
                "sheets_more": str(one.sheets.more),
                "total": str(one.total),
                "total_more": str(one.more_total),
                "each": str(one.each),
            }
            for one in grown
        ]
    }


def room_lines(job: Job, plan: RunPlan) -> list[str]:
    """How full each sheet of a plan is, and what one more inch of it would bring."""
    lines = []
    for number, sheet in enumerate(plan.sheets):
        used = f"sheet {_letter(number)}: {fullness(job, plan, sheet):.0%} used"
        lines.append(f"{used}; {room_words(job, room_of(job, plan, sheet))}")
    return lines


def fullness(job: Job, plan: RunPlan, sheet: PlanSheet) -> float:
    """The bounding boxes of what lies on the sheet as a share of its film, 0 to 1."""
    width_mm, length_mm = plan.sheet_size_mm
    sizes = (job.size_of(job.piece(one.key)) for one in sheet.laid)
    return sum(width * height for width, height in sizes) / (width_mm * length_mm)


def room_words(job: Job, room: Room) -> str:
    """What else would fit on a sheet as it is, and with one more inch of it."""
    now, with_inch = _copies_words(job, room.now), _copies_words(job, room.with_inch)
    if room.with_inch == room.now:
        return f"room for {now}, no more with one more inch" if now else "full; one more inch brings nothing"
    return (
        f"room for {now}; with one more inch for {with_inch}"
        if now
        else (f"full; one more inch would take {with_inch}")
    )


def _copies_words(job: Job, copies: Copies) -> str:
    return ", ".join(f"{count} × {job.piece(key).name}" for key, count in copies)


def longer_words(found: Changed, prices: PriceList) -> str:
    """What one more inch of sheet would change, as a sentence."""
    runs = " + ".join(f"{sheet.run}" for sheet in found.plan.sheets)
    return f"One more inch of sheet: {runs} sheets, and they {_change_words(found.more, prices)}."


def _change_words(more: Decimal, prices: PriceList) -> str:
    if not more:
        return "cost the same"
    return f"cost {written(abs(more), prices.currency)} {'more' if more > 0 else 'less'}"


def _signed(more: Decimal, prices: PriceList) -> str:
    if not more:
        return "the same as now"
    return f"{written(abs(more), prices.currency)} {'more' if more > 0 else 'less'} than now"


def floor_words(plan: RunPlan, prices: PriceList) -> str:
    """What is proven of the cost, as one sentence."""
    floor = written(plan.floor, prices.currency)
    if plan.cost == plan.floor:
        return f"Nobody can go below {floor}: this plan is the cheapest there is."
    words = f"Nobody can go below {floor}; this plan is {plan.above_floor_percent} % above."
    if plan.boxes_floor > plan.floor:
        boxes = written(plan.boxes_floor, prices.currency)
        words += f" Pieces laid as upright boxes cannot go below {boxes}."
    return words


def _sheet_document(plan: RunPlan, sheet: PlanSheet) -> dict[str, Any]:
    counts = {one.name: sheet.copies(one.piece_id) for one in plan.pieces}
    return {
        "run": sheet.run,
        "each": str(sheet.each),
        "cost": str(sheet.cost),
        "pieces": {name: count for name, count in counts.items() if count},
    }


def _order_document(order: OrderPrice) -> dict[str, Any]:
    amounts = ("sheets", "blanks", "waste", "press", "cost", "price", "tax", "total", "each", "cost_each")
    return {
        "order": order.name,
        "garments": order.garments,
        **{name: str(getattr(order, name)) for name in amounts},
        "break_even": order.break_even,
    }


def _contents(plan: RunPlan, sheet: PlanSheet) -> str:
    counts = ((sheet.copies(one.piece_id), one.name) for one in plan.pieces)
    return ", ".join(f"{count} × {name}" for count, name in counts if count)


def _letter(number: int) -> str:
    return chr(ord("A") + number)
