"""What `plan` prints: the JSON document, amounts as strings so that they stay exact, and lines for people."""

from typing import Any

from layout_core.plan.money import written
from layout_core.plan.prices import PriceList
from layout_core.plan.pricing import OrderPrice, next_tiers
from layout_core.plan.run_plan import PlanSheet, RunPlan


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
            f"{sheet.run} x sheet {_letter(number)}: {_contents(plan, sheet)} ({money(sheet.each)} each)"
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
    return ", ".join(f"{count} x {name}" for count, name in counts if count)


def _letter(number: int) -> str:
    return chr(ord("A") + number)
