"""The quote of one order: its own figures, nobody else's, the same bytes each time."""

import csv
import io
from dataclasses import replace
from decimal import Decimal

import pytest

from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.outputs.drawing import every_words
from layout_core.outputs.quote import quote_csv, quote_pages, quote_pdf
from layout_core.plan.prices import PriceList, load_prices
from layout_core.plan.pricing import OrderPrice, order_prices
from layout_core.plan.run_plan import run_plan
from tests.core.plan.orders import two_orders

Priced = tuple[Job, PriceList, tuple[OrderPrice, ...]]


@pytest.fixture(scope="module")
def priced() -> Priced:
    job, prices = two_orders(), load_prices()
    return job, prices, order_prices(job, run_plan(job, prices), prices)


def words_of(job: Job, price: OrderPrice, prices: PriceList) -> list[str]:
    return [words.text for page in quote_pages(job, price, prices) for words in every_words(page.parts)]


def test_a_quote_shows_the_own_order_only_and_no_cost(priced: Priced) -> None:
    job, prices, (moths, walk) = priced
    text = "\n".join(words_of(job, moths, prices)) + quote_csv(job, moths, prices).decode()
    for own in ("Moth night", "Lamp Keepers", "tee", "moon", f"{moths.total:,}"):
        assert own in text
    for other in (
        "Tide walk",
        "Ramblers",
        "shell",
        "hoodie",
        f"{walk.total:,}",
        str(moths.cost),
        str(moths.sheets),
    ):
        assert other not in text


def test_the_prices_of_the_csv_add_up_to_its_total(priced: Priced) -> None:
    job, prices, (moths, _) = priced
    rows = list(csv.DictReader(io.StringIO(quote_csv(job, moths, prices).decode("utf-8"))))
    groups = [row for row in rows if row["count"]]
    (total,) = [row for row in rows if row["garment"] == "total"]
    assert sum(Decimal(row["price"]) for row in groups) == Decimal(total["price"]) == moths.total


def test_an_example_price_list_is_said_to_be_one(priced: Priced) -> None:
    job, prices, (moths, _) = priced
    assert any("invented example" in text for text in words_of(job, moths, prices))
    own = replace(prices, is_example=False)
    assert not any("invented example" in text for text in words_of(job, moths, own))


def test_tax_stands_in_a_line_of_its_own_once_it_is_on(priced: Priced) -> None:
    job, prices, _ = priced
    taxed = replace(prices, tax=("Sales tax", Decimal(5)))
    moths = order_prices(job, run_plan(job, taxed), taxed)[0]
    text = words_of(job, moths, taxed)
    assert "Sales tax 5 %" in text
    assert any(f"{moths.tax:,}" in line for line in text)
    assert moths.total == moths.price + moths.tax


def test_the_pdf_is_the_same_bytes_each_time(priced: Priced) -> None:
    job, prices, (moths, _) = priced
    first = quote_pdf(job, moths, prices)
    assert first.startswith(b"%PDF-")
    assert first == quote_pdf(job, moths, prices)


def test_a_name_that_looks_like_a_formula_stays_words(priced: Priced) -> None:
    job, prices, (moths, _) = priced
    named = edits.change_order(job, moths.order_id, customer="=1+1", name="@night")
    text = quote_csv(named, moths, prices).decode("utf-8")
    assert "'=1+1" in text
    assert ",=1+1" not in text
    assert "\r\n'@night," in text


def test_many_garments_run_over_several_pages(priced: Priced) -> None:
    job, prices, (moths, _) = priced
    many = replace(moths, groups=moths.groups * 40)
    pages = quote_pages(job, many, prices)
    assert len(pages) > 1
    assert sum(text.endswith("×") for text in words_of(job, many, prices)) == 40


def test_a_quote_says_so_when_no_font_has_a_character_of_its_own_order(priced: Priced) -> None:
    job, prices, (moths, walk) = priced
    no_font_has_it = "\U0010fffd"
    job = edits.change_order(job, moths.order_id, customer=f"Lamp {no_font_has_it} Keepers")
    assert "no font at hand" in " ".join(words_of(job, moths, prices))
    assert "no font at hand" not in " ".join(words_of(job, walk, prices)), (
        "the other order's words are its own"
    )
