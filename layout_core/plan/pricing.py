"""What each order costs and is charged: the sheets shared by film used, blanks, pressing, waste, tax."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext

from layout_core.errors import PlanError
from layout_core.job.edits import set_order_lines
from layout_core.job.model import Job, Order, OrderLine
from layout_core.plan.money import amount_of, shares
from layout_core.plan.prices import PriceList
from layout_core.plan.run_plan import RunPlan

_MINUTES = Decimal(60)
_HUNDRED = Decimal(100)
_PRECISION = 50


@dataclass(frozen=True, slots=True)
class GarmentGroup:
    """Garments of one kind and colour: counts by size, the pieces pressed on them, and their price."""

    garment: str
    colour: str
    sizes: tuple[tuple[str, int], ...]
    piece_ids: tuple[int, ...]
    price: Decimal

    @property
    def count(self) -> int:
        return sum(count for _, count in self.sizes)


@dataclass(frozen=True, slots=True)
class OrderPrice:
    """One order's costs and its price, exact amounts; `cost` is sheets + blanks + waste + press.

    `price` is without tax and equals the prices of `groups` added up; `total` is with it. `each` is the
    price of one garment, rounded. `break_even` is how many garments at that price pay for the sheets
    beside their own blanks and pressing; None when the price leaves nothing for them.
    """

    order_id: int
    name: str
    garments: int
    sheets: Decimal
    blanks: Decimal
    waste: Decimal
    press: Decimal
    cost: Decimal
    price: Decimal
    tax: Decimal
    total: Decimal
    each: Decimal
    cost_each: Decimal
    break_even: int | None
    groups: tuple[GarmentGroup, ...]


@dataclass(frozen=True, slots=True)
class NextTier:
    """A longer run at the next tier: which sheet (from 0), the run it begins at, its price, the change."""

    sheet: int
    run: int
    more: int
    each: Decimal
    change: Decimal


def order_prices(job: Job, plan: RunPlan, prices: PriceList) -> tuple[OrderPrice, ...]:
    """Every order on the plan, in the job's order; together they carry all of the plan's cost, to the coin.

    Raises PlanError for a garment or size without a price.
    """
    orders = [order for order in job.orders if any(line.count for line in order.lines)]
    films = [sum(_film(job, line) for line in order.lines) for order in orders]
    parts = shares(prices.coins(plan.cost), films)
    return tuple(_priced(job, prices, order, part) for order, part in zip(orders, parts, strict=True))


def garment_counts(job: Job, lines: Iterable[OrderLine]) -> dict[str, int]:
    """How many garments by size the lines need: a garment takes one print a placement.

    Two lines with the same placement are different garments; with different placements they are pressed on
    the same ones. So the count of a size is the most that any placement asks for. Our reading of an order.
    """
    by_placement: dict[str, dict[str, int]] = {}
    for line in lines:
        counts = by_placement.setdefault(job.piece(line.piece_id).placement, {})
        for size, count in line.sizes:
            counts[size] = counts.get(size, 0) + count
    sizes = dict.fromkeys(size for counts in by_placement.values() for size in counts)
    most = {size: max(counts.get(size, 0) for counts in by_placement.values()) for size in sizes}
    return {size: count for size, count in most.items() if count}


def next_tiers(plan: RunPlan, prices: PriceList) -> tuple[NextTier, ...]:
    """For each sheet below the best tier, what running it up to the next one would change the cost by."""
    price = prices.run_price(*plan.sheet_size_mm)
    found = []
    for number, sheet in enumerate(plan.sheets):
        tier = next(((run, each) for run, each in price.tiers if run > sheet.run), None)
        if tier is not None:
            run, each = tier
            change = price.cost(run) - price.cost(sheet.run)
            found.append(
                NextTier(
                    number, run, run - sheet.run, amount_of(each, prices.decimals),
                    amount_of(change, prices.decimals),
                )
            )  # fmt: skip
    return tuple(found)


def with_more(job: Job, order_id: int, more: int, *, size: str | None = None) -> Job:
    """The job with so many more garments in the order, of its commonest kind, to ask what they would cost.

    Every line of that garment and colour that has the size gets them: front and chest alike. Raises
    PlanError for an order without lines or without that size.
    """
    order = job.order(order_id)
    tally: dict[tuple[str, str, str], int] = {}
    for line in order.lines:
        for name, count in line.sizes:
            if size in (None, name):
                key = (line.garment, line.garment_colour, name)
                tally[key] = max(tally.get(key, 0), count)
    if not tally:
        missing = "no line with a count" if size is None else f"no line in size {size}"
        raise PlanError(f"the order {order.name} has {missing}")
    garment, colour, wanted = max(tally, key=lambda key: tally[key])

    def grown(line: OrderLine) -> OrderLine:
        if (line.garment, line.garment_colour) != (garment, colour):
            return line
        sizes = tuple((name, count + more if name == wanted else count) for name, count in line.sizes)
        return replace(line, sizes=sizes)

    return set_order_lines(job, order_id, map(grown, order.lines))


def _film(job: Job, line: OrderLine) -> int:
    """Film the line's prints take up, as the area of their bounding boxes, in whole square millimetres."""
    width_mm, height_mm = job.size_of(job.piece(line.piece_id))
    return line.count * max(round(width_mm * height_mm), 1)


def _grouped(order: Order) -> Mapping[tuple[str, str], list[OrderLine]]:
    groups: dict[tuple[str, str], list[OrderLine]] = {}
    for line in order.lines:
        if line.count:
            groups.setdefault((line.garment, line.garment_colour), []).append(line)
    return groups


def _priced(job: Job, prices: PriceList, order: Order, sheets: int) -> OrderPrice:
    """All sums in whole coins."""
    groups = _grouped(order)
    counts = [garment_counts(job, lines) for lines in groups.values()]
    sheet_parts = shares(sheets, [sum(_film(job, line) for line in lines) for lines in groups.values()])
    with localcontext(prec=_PRECISION):
        blanks = [
            prices.coins(sum((prices.blank(garment, size) * n for size, n in sizes.items()), Decimal(0)))
            for (garment, _), sizes in zip(groups, counts, strict=True)
        ]
        press = [
            prices.coins(
                sum(line.count for line in lines) * prices.press_minutes * prices.press_rate / _MINUTES
            )
            for lines in groups.values()
        ]
        waste = [
            prices.coins(amount_of(part, prices.decimals) * prices.waste_percent / _HUNDRED)
            for part in blanks
        ]
        costs = [sum(parts) for parts in zip(sheet_parts, blanks, press, waste, strict=True)]
        price = _charged(prices, sum(costs))
        tax = 0
        if prices.tax is not None:
            tax = prices.coins(amount_of(price, prices.decimals) * prices.tax[1] / _HUNDRED)
    parts = shares(price, costs) if sum(costs) else (0,) * len(costs)
    garments = sum(sum(sizes.values()) for sizes in counts)
    priced = tuple(
        GarmentGroup(
            garment, colour, tuple(sizes.items()), tuple(dict.fromkeys(line.piece_id for line in lines)),
            amount_of(part, prices.decimals),
        )
        for ((garment, colour), lines), sizes, part in zip(groups.items(), counts, parts, strict=True)
    )  # fmt: skip

    def money(coin_count: int) -> Decimal:
        return amount_of(coin_count, prices.decimals)

    return OrderPrice(
        order.order_id, order.name, garments, money(sheets), money(sum(blanks)), money(sum(waste)),
        money(sum(press)), money(sum(costs)), money(price), money(tax), money(price + tax),
        _each(prices, price, garments), _each(prices, sum(costs), garments),
        _break_even(price, sum(costs), sheets, garments), priced,
    )  # fmt: skip


def _charged(prices: PriceList, cost: int) -> int:
    """The price of a cost in coins: the cost and a markup on it, or the price of which so much is margin."""
    amount, share = amount_of(cost, prices.decimals), prices.charge_percent / _HUNDRED
    return prices.coins(amount * (1 + share) if prices.charge_by == "markup" else amount / (1 - share))


def _each(prices: PriceList, coin_count: int, garments: int) -> Decimal:
    with localcontext(prec=_PRECISION):
        each = amount_of(coin_count, prices.decimals) / garments if garments else Decimal(0)
        return amount_of(prices.coins(each), prices.decimals)


def _break_even(price: int, cost: int, sheets: int, garments: int) -> int | None:
    """Garments n with n (price - variable) / garments >= sheets, in whole coins throughout."""
    left_over = price - (cost - sheets)
    return -(-sheets * garments // left_over) if left_over > 0 else None
