"""The quotes of a job's orders: as bytes for the hand-off, and as files, a PDF and a CSV each."""

from collections.abc import Sequence
from pathlib import Path

from layout_core.errors import SaveError
from layout_core.files import write_whole
from layout_core.job.model import Job
from layout_core.outputs.file_names import file_words
from layout_core.outputs.quote import quote_csv, quote_pdf
from layout_core.plan.prices import PriceList, load_prices
from layout_core.plan.pricing import OrderPrice, order_prices
from layout_core.plan.run_plan import run_plan
from layout_core.progress import Progress, no_progress


def planned_quotes(job: Job, progress: Progress = no_progress) -> dict[int, bytes]:
    """The quote of each order as PDF bytes by its id, priced by a run plan of the job at the shop's prices.

    Raises PlanError for orders that cannot be planned, TableError for a mistake in the price list.
    """
    prices = load_prices()
    return quotes_of(job, order_prices(job, run_plan(job, prices, progress=progress), prices), prices)


def quotes_of(job: Job, orders: Sequence[OrderPrice], prices: PriceList) -> dict[int, bytes]:
    """The quote of each priced order as PDF bytes, by its id."""
    return {order.order_id: quote_pdf(job, order, prices) for order in orders}


def write_quotes(job: Job, orders: Sequence[OrderPrice], prices: PriceList, folder: Path) -> tuple[Path, ...]:
    """The files written, quote-ORDER.pdf and .csv. Raises SaveError when the folder cannot be used."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "unknown").lower()
        raise SaveError(f"{folder.name}: this folder cannot be made ({reason})") from error
    written: list[Path] = []
    words = file_words([(order.order_id, order.name) for order in orders], "order")
    for order in orders:
        word = words[order.order_id]
        for suffix, data in (("pdf", quote_pdf(job, order, prices)), ("csv", quote_csv(job, order, prices))):
            path = folder / f"quote-{word}.{suffix}"
            write_whole(path, data)
            written.append(path)
    return tuple(written)
