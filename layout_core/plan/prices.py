"""The shop's price list: sheets by tier, set-up, shipping, blanks, pressing, waste, markup or margin, tax."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from pathlib import Path
from typing import Literal

from layout_core.errors import PlanError
from layout_core.job.garment_sizes import size_named
from layout_core.plan.money import MOST_AMOUNT, coins
from layout_core.plan.problem import RunPrice
from layout_core.tables import Section, read_table, repeated, table_path
from layout_core.units import write_length, write_number

TABLE = "prices.toml"
_HEAD = ("example", "currency", "decimals", "sheet", "shipping", "spares", "blank", "press", "waste",
         "charge", "tax")  # fmt: skip
_NUMBER = re.compile(r"\d{1,12}(\.\d{1,6})?", re.ASCII)
_RUN = re.compile(r"[0-9]{1,7}")
_HAIR_MM = 0.01
_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class SheetPrice:
    """What sheets up to this size cost: (from this run, each), and once a design."""

    width_mm: float
    length_mm: float
    tiers: tuple[tuple[int, Decimal], ...]
    setup: Decimal

    def holds(self, width_mm: float, length_mm: float) -> bool:
        return width_mm <= self.width_mm + _HAIR_MM and length_mm <= self.length_mm + _HAIR_MM


@dataclass(frozen=True, slots=True)
class PriceList:
    """Every price, as exact amounts of `currency` with `decimals` places; percents as people say them.

    `is_example`: the figures are the shipped invented ones. `tax` None: none is added.
    """

    is_example: bool
    currency: str
    decimals: int
    sheets: tuple[SheetPrice, ...]
    shipping: Decimal
    spare_percent: Decimal
    spare_least: int
    blanks: tuple[tuple[str, tuple[tuple[str, Decimal], ...]], ...]
    press_minutes: Decimal
    press_rate: Decimal
    waste_percent: Decimal
    charge_by: Literal["markup", "margin"]
    charge_percent: Decimal
    tax: tuple[str, Decimal] | None

    def coins(self, amount: Decimal) -> int:
        return coins(amount, self.decimals)

    def sheet(self, width_mm: float, length_mm: float) -> SheetPrice:
        """The price of the smallest sheet listed that holds this size. Raises PlanError when none does."""
        fitting = [one for one in self.sheets if one.holds(width_mm, length_mm)]
        if not fitting:
            size = f"{write_number(width_mm)} x {write_length(length_mm)}"
            raise PlanError(f"{TABLE}: no price for a sheet of {size}; add a [[sheet]] block that holds it")
        return min(fitting, key=lambda one: one.width_mm * one.length_mm)

    def run_price(self, width_mm: float, length_mm: float) -> RunPrice:
        """The same in whole smallest coins, as the planner counts."""
        price = self.sheet(width_mm, length_mm)
        tiers = tuple((run, self.coins(each)) for run, each in price.tiers)
        return RunPrice(tiers, self.coins(price.setup))

    def blank(self, garment: str, size: str) -> Decimal:
        """The price of one garment. Raises PlanError for a garment or size the list has no price for."""
        for name, prices in self.blanks:
            if name.casefold() == garment.strip().casefold():
                for known, price in prices:
                    if known in (size, size_named(size)):
                        return price
                raise PlanError(
                    f"{TABLE}: no price for {name} in size “{size[:20]}”; add it to its [[blank]]"
                )
        known = ", ".join(name for name, _ in self.blanks) or "none"
        raise PlanError(f"{TABLE}: no price for the garment “{garment[:40]}”; it has {known}")

    def wanted(self, count: int) -> int:
        """How many copies to make for so many ordered: with spares, rounded up."""
        share = (count * self.spare_percent / _HUNDRED).to_integral_value(ROUND_CEILING)
        return count + max(int(share), self.spare_least)


def load_prices(path: Path | None = None) -> PriceList:
    """The shop's price list. Raises TableError that names file and line."""
    path = table_path(TABLE) if path is None else path
    head = Section(path, "", read_table(path))
    head.only(_HEAD)
    blanks = tuple(map(_blank, repeated(head, "blank")))
    sheets = tuple(map(_sheet, repeated(head, "sheet")))
    if not sheets:
        raise head.mistake("sheet", "is missing; add at least one [[sheet]] block")
    shipping, spares = _block(head, "shipping", ("sheets",)), _block(head, "spares", ("percent", "least"))
    press = _block(head, "press", ("minutes_each", "rate_per_hour"))
    waste, charge = _block(head, "waste", ("percent",)), _block(head, "charge", ("by", "percent"))
    by: Literal["markup", "margin"] = (
        "margin" if charge.choice("by", ("markup", "margin")) == "margin" else "markup"
    )
    return PriceList(
        is_example=head.flag("example") if "example" in head.values else False,
        currency=head.text("currency").strip()[:8],
        decimals=_within(head, "decimals", 0, 4),
        sheets=sheets,
        shipping=_amount(shipping, "sheets"),
        spare_percent=_percent(spares, _HUNDRED),
        spare_least=_within(spares, "least", 0, 1000),
        blanks=blanks,
        press_minutes=_amount(press, "minutes_each"),
        press_rate=_amount(press, "rate_per_hour"),
        waste_percent=_percent(waste, _HUNDRED),
        charge_by=by,
        charge_percent=_percent(charge, Decimal(10_000) if by == "markup" else Decimal("99.9")),
        tax=_tax(head),
    )


def _block(head: Section, name: str, keys: Sequence[str]) -> Section:
    values = head.value(name)
    if not isinstance(values, dict):
        raise head.mistake(name, f"must be a block that begins with [{name}]")
    block = Section(head.path, name, values)
    block.only(keys)
    return block


def _sheet(block: Section) -> SheetPrice:
    block.only(("width", "length", "tiers", "setup"))
    values = block.value("tiers")
    if not isinstance(values, dict) or not values:
        raise block.mistake("tiers", 'must be runs with the price of each sheet: { 1 = "9.00", 12 = "7.50" }')
    tiers = []
    for run, each in values.items():
        if not _RUN.fullmatch(run) or not 1 <= int(run) <= 1_000_000:
            raise block.mistake("tiers", f"has “{run[:20]}”, not a run from 1 to 1,000,000")
        tiers.append((int(run), _read(block, "tiers", each)))
    tiers.sort()
    if tiers[0][0] != 1 or len({run for run, _ in tiers}) < len(tiers):
        raise block.mistake("tiers", "must begin with a run of 1 and name each run once")
    return SheetPrice(
        block.length_mm("width"), block.length_mm("length"), tuple(tiers), _amount(block, "setup")
    )


def _blank(block: Section) -> tuple[str, tuple[tuple[str, Decimal], ...]]:
    block.only(("garment", "prices"))
    values = block.value("prices")
    if not isinstance(values, dict) or not values:
        raise block.mistake("prices", 'must be sizes with their price: { S = "3.60", 2XL = "5.20" }')
    prices = []
    for size, price in values.items():
        named = size_named(size)
        if named is None:
            raise block.mistake("prices", f"has “{size[:20]}”, which is no garment size known here")
        prices.append((named, _read(block, "prices", price)))
    return block.text("garment").strip(), tuple(prices)


def _tax(head: Section) -> tuple[str, Decimal] | None:
    block = _block(head, "tax", ("on", "name", "percent"))
    tax = block.text("name"), _percent(block, _HUNDRED)
    return tax if block.flag("on") else None


def _percent(block: Section, most: Decimal) -> Decimal:
    value = _amount(block, "percent")
    if value > most:
        raise block.mistake("percent", f"is {value}; the most is {most}")
    return value


def _amount(block: Section, key: str) -> Decimal:
    return _read(block, key, block.value(key))


def _read(block: Section, key: str, value: object) -> Decimal:
    """An exact number: in quotes, or whole. TOML reads 7.5 as a binary fraction, so that is refused."""
    text = str(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if not isinstance(text, str) or not _NUMBER.fullmatch(text.strip()):
        raise block.mistake(key, f'is {str(value)[:30]}, not an exact number in quotes such as "7.50"')
    number = Decimal(text.strip())
    if number > MOST_AMOUNT:
        raise block.mistake(key, f"is beyond {MOST_AMOUNT:,}")
    return number


def _within(block: Section, key: str, least: int, most: int) -> int:
    value = block.whole(key)
    if not least <= value <= most:
        raise block.mistake(key, f"is {value}; it must be from {least} to {most:,}")
    return value
