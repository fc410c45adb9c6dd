"""The command `plan`: the cheapest sheets and runs of a job, and what each order pays."""

from pathlib import Path

import click

from app.command_input import PATH, print_json
from app.console import progress_shown


@click.command()
@click.argument("job", type=PATH)
@click.option("--out", type=PATH, help="Write the job with the plan laid out to this file.")
@click.option("--quotes", type=PATH, help="Write the quote of each order, PDF and CSV, into this folder.")
@click.option("--designs", default=4, show_default=True, help="At most so many designs of sheet.")
@click.option("--prices", type=PATH, help="A price list (TOML) instead of the shop's own.")
@click.option("--seconds", default=10.0, show_default=True, help="Longest search.")
@click.option("--no-holes", is_flag=True, help="Lay nothing into the holes of rings.")
@click.option("--straight-cuts", is_flag=True, help="Lay so that cuts from edge to edge free every piece.")
@click.option(
    "--more", type=click.IntRange(1, 10_000), help="What so many more garments an order would cost."
)
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON; amounts are strings.")
def plan(
    job: Path,
    out: Path | None,
    quotes: Path | None,
    designs: int,
    prices: Path | None,
    seconds: float,
    no_holes: bool,
    straight_cuts: bool,
    more: int | None,
    as_json: bool,
) -> None:
    """Find which sheets to print, how many of each, at the least cost, and what each order pays."""
    from app.plan_reports import more_document, more_words, plan_document, plan_lines, room_lines
    from layout_core.job.file import read_job, write_job
    from layout_core.packing.engines import FillWish
    from layout_core.plan.prices import load_prices
    from layout_core.plan.pricing import order_prices
    from layout_core.plan.run_plan import lay_out_plan, run_plan
    from layout_core.plan.what_if import with_garments

    if not 0 < seconds <= 3600:
        raise click.UsageError("--seconds: must be more than 0 and at most 3600")
    opened, price_list = read_job(job), load_prices(prices)
    wish = FillWish(use_holes=not no_holes, straight_cuts=straight_cuts)
    with progress_shown() as progress:
        found = run_plan(
            opened, price_list, most_designs=designs, wish=wish, seconds=seconds, progress=progress
        )
        grown = tuple(
            with_garments(
                opened, found, price_list, order.order_id, more,
                most_designs=designs, seconds=seconds, progress=progress,
            )
            for order in opened.orders
            if more is not None and any(line.count for line in order.lines)
        )  # fmt: skip
    orders = order_prices(opened, found, price_list)
    if out is not None:
        write_job(out, lay_out_plan(opened, found))
    if quotes is not None:
        from app.quote_files import write_quotes

        written = write_quotes(opened, orders, price_list, quotes)
    else:
        written = ()
    if as_json:
        print_json(plan_document(found, price_list, orders) | more_document(grown))
    else:
        lines = [*plan_lines(found, price_list, orders), *room_lines(opened, found)]
        lines += [more_words(one, price_list) for one in grown]
        click.echo("\n".join([*lines, *map(str, written)]))
