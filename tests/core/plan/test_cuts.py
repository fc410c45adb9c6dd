"""What nobody can lay: the cuts against hand checks, layouts that exist, and published instances."""

import json
import random
from pathlib import Path

import pytest
import shapely

from layout_core.packing.skyline import skyline_fit
from layout_core.plan.cuts import ROOM, Box, area_cut, box_cuts
from layout_core.plan.problem import Counts, Cut

DATA = Path(__file__).resolve().parents[2] / "data"


def sheets_needed(cuts: tuple[Cut, ...], counts: Counts) -> int:
    return max(-(-sum(w * n for w, n in zip(cut.weights, counts, strict=True)) // cut.room) for cut in cuts)


@pytest.mark.parametrize(("size", "count"), [((6.0, 6.0), 7), ((8.0, 8.5), 5), ((5.8, 5.8), 9)])
def test_dual_feasible_cuts_ask_for_three_sheets_where_area_asks_for_two(
    size: tuple[float, float], count: int
) -> None:
    """By hand: 11.25 x 19 in, margin and gap 0.25; so many boxes lie beside each other and no more.

    6 x 6 grown to 6.25: one across 11, three along 18.75, so three a sheet. 8 x 8.5: one across, two along.
    5.8 x 5.8 grown to 6.05: one across, three along.
    """
    box = round(size[0] * 1000) + 250, round(size[1] * 1000) + 250
    film = 11_000, 18_750
    assert -(-count * box[0] * box[1] // (film[0] * film[1])) == 2
    assert sheets_needed(box_cuts([box], film), (count,)) == 3


def cut_up(film: Box, pieces: int, chance: random.Random) -> list[Box]:
    """The film cut edge to edge into boxes, each turned or not: a full sheet that surely exists."""
    parts = [film]
    while len(parts) < pieces:
        w, h = parts.pop(chance.randrange(len(parts)))
        if max(w, h) < 4:
            parts.append((w, h))
            break
        share = chance.choice((0.5, 1 / 3, chance.uniform(0.15, 0.85)))
        if w >= h:
            at = min(max(round(w * share), 1), w - 1)
            parts += [(at, h), (w - at, h)]
        else:
            at = min(max(round(h * share), 1), h - 1)
            parts += [(w, at), (w, h - at)]
    return [part[::-1] if chance.random() < 0.5 else part for part in parts]


def test_no_cut_forbids_a_layout_that_exists_in_a_thousand_full_sheets() -> None:
    chance = random.Random(20261125)
    for number in range(1000):
        film = chance.randint(20, 120), chance.randint(20, 120)
        boxes = cut_up(film, chance.randint(2, 5), chance)
        sizes = list(dict.fromkeys(boxes))
        counts = tuple(boxes.count(size) for size in sizes)
        assert all(cut.holds(counts) for cut in box_cuts(sizes, film)), (number, film, boxes)


def test_no_cut_forbids_what_the_packer_lays() -> None:
    chance = random.Random(7)
    laid = 0
    for _ in range(60):
        film = chance.randint(60, 120), chance.randint(60, 120)
        sizes = [(chance.randint(8, 60), chance.randint(8, 60)) for _ in range(4)]
        counts = tuple(chance.randint(0, 3) for _ in sizes)
        boxes = [size for size, count in zip(sizes, counts, strict=True) for _ in range(count)]
        if skyline_fit(boxes, *film, tries=60) is not None:
            laid += 1
            assert all(cut.holds(counts) for cut in box_cuts(sizes, film))
    assert laid > 10


def test_a_box_that_fits_in_no_way_breaks_every_cut() -> None:
    cuts = box_cuts([(30, 5), (200, 5)], (100, 50))
    assert cuts
    assert not any(cut.holds((0, 1)) for cut in cuts)


@pytest.mark.parametrize("at", range(22))
def test_one_template_bounds_of_the_published_instances_stay_below_what_was_laid(at: int) -> None:
    """Source: Klippenstein, Kautz & Balduccini, job ganging instances (JeroenGar/datasets).

    The shortest run by the cuts lies between the area bound and a layout that was found.
    """
    instance = json.loads((DATA / "ganging_instances.json").read_text("utf-8"))["instances"][at]
    jobs, film = instance["jobs"], tuple(instance["sheet"])
    sizes = list(dict.fromkeys((w, h) for w, h, _ in jobs))
    cuts = box_cuts(sizes, film)

    def holds(run: int) -> bool:
        counts = tuple(sum(-(-n // run) for w, h, n in jobs if (w, h) == size) for size in sizes)
        return all(cut.holds(counts) for cut in cuts)

    low, high = 1, instance["best_found_nonguillotine"]
    assert holds(high)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle + 1, high)
    assert low >= instance["area_bound"]


def test_the_area_cut_never_forbids_outlines_that_lie_with_their_gap() -> None:
    """Two combs that interlock: their boxes overlap, their outlines keep the gap."""
    comb = shapely.union_all(
        [shapely.box(0, 0, 100, 10), *(shapely.box(x, 0, x + 10, 60) for x in (0, 45, 90))]
    )
    other = shapely.affinity.translate(shapely.affinity.rotate(comb, 180, origin=(50, 30)), 22.5, 15)
    gap = comb.distance(other)
    assert gap > 2
    film = shapely.box(*shapely.union_all([comb, other]).bounds)
    width, length = film.bounds[2] - film.bounds[0] + gap, film.bounds[3] - film.bounds[1] + gap
    cut = area_cut([comb.buffer(gap / 2, quad_segs=8).area], width * length)
    assert cut.room == ROOM
    assert cut.holds((2,))


def lies(
    film: Box, boxes: list[Box], barred: set[int], taken: frozenset[tuple[int, int]] = frozenset()
) -> bool:
    """Whether the boxes lie on the film, by trying every whole place of each in turn."""
    if not boxes:
        return True
    (w, h), rest = boxes[0], boxes[1:]
    later = {at - 1 for at in barred if at}
    for across, along in {(w, h)} if 0 in barred else {(w, h), (h, w)}:
        for x in range(film[0] - across + 1):
            for y in range(film[1] - along + 1):
                cells = {(x + i, y + j) for i in range(across) for j in range(along)}
                if taken.isdisjoint(cells) and lies(film, rest, later, taken | cells):
                    return True
    return False


def test_no_cut_forbids_what_trying_every_place_lays_in_a_thousand_small_jobs() -> None:
    """Boxes with whole sides can be pushed to whole places, so trying those alone decides it."""
    chance = random.Random(31)
    laid = forbidden = 0
    for number in range(1000):
        film = chance.randint(3, 6), chance.randint(3, 6)
        sizes = list(
            dict.fromkeys((chance.randint(1, 4), chance.randint(1, 4)) for _ in range(chance.randint(1, 3)))
        )
        counts = tuple(chance.randint(1, 2) for _ in sizes)
        barred = {at for at in range(len(sizes)) if chance.random() < 0.25}
        owners = [at for at, count in enumerate(counts) for _ in range(count)]
        area = sum(sizes[at][0] * sizes[at][1] for at in owners)
        holds = all(cut.holds(counts) for cut in box_cuts(sizes, film, barred))
        if area > film[0] * film[1]:
            assert not holds
            continue
        does_lie = lies(
            film, [sizes[at] for at in owners], {i for i, at in enumerate(owners) if at in barred}
        )
        laid += does_lie
        forbidden += not holds
        assert holds or not does_lie, (number, film, sizes, counts, barred)
    assert laid > 200
    assert forbidden > 20
