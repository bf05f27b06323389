"""Room for screws against circles laid out and measured one against the other."""

import math
import random
from dataclasses import replace
from itertools import combinations

import pytest
from pytest import approx

from colletfea.cases.hand.screw_room import RingShape, room, web
from colletfea.cases.hand.threads import SIZES, screw


def laid_out(s, count, jacking, ring, circle):
    """Whether every hole, head and thread keeps its distance, measured centre to centre."""
    least, r = max(1.0, 0.2 * s.hole), circle / 2
    per_gap = math.ceil(jacking / count)
    places = count * (1 + per_gap)
    spots = [(r * math.cos(2 * math.pi * i / places), r * math.sin(2 * math.pi * i / places), i % (1 + per_gap) == 0) for i in range(places)]
    for (x, y, clamp), (u, v, other) in combinations(spots, 2):
        apart = math.hypot(x - u, y - v)
        holes = [s.hole if c else s.thread.diameter for c in (clamp, other)]
        if (clamp or other) and apart < sum(holes) / 2 + least:
            return False
        heads = [s.head if c else s.thread.diameter for c in (clamp, other)]
        if (clamp or other) and apart < sum(heads) / 2:
            return False
    inside = r - s.hole / 2 - least >= ring.bore_leading and r - s.head / 2 >= ring.bore_trailing
    outside = r + s.hole / 2 + least <= ring.outer_diameter / 2 and r + s.head / 2 <= ring.outer_diameter / 2
    flange = not ring.flange_diameter or r + s.thread.diameter / 2 + least <= ring.flange_diameter / 2
    return inside and outside and flange


def some_rings(number):
    draw = random.Random(3)
    for _ in range(number):
        bore, wall = draw.uniform(8, 40), draw.uniform(3, 40)
        outside = 2 * (bore + wall)
        circle = draw.choice([None, draw.uniform(2 * bore, outside)])
        flange = draw.choice([0.0, outside + draw.uniform(-6, 8)])
        count = draw.randint(3, 12)
        yield screw(draw.choice(SIZES[:8])), count, draw.randint(0, 2 * count), RingShape(bore, bore - draw.uniform(0, 2), outside, circle, flange)


def test_room_is_where_every_hole_head_and_thread_keeps_its_distance():
    answers = []
    for s, count, jacking, ring in some_rings(3000):
        found = room(s, count, jacking, ring)
        assert found.fits == laid_out(s, count, jacking, ring, found.circle) == (not found.because)
        answers.append(found.fits)
    assert 300 < sum(answers) < 2700


def test_the_circles_said_to_have_room_have_it_and_those_beyond_do_not():
    tried = 0
    for s, count, jacking, ring in some_rings(600):
        found = room(s, count, jacking, ring)
        if found.least > found.greatest:
            continue
        tried += 1
        for circle, fits in ((found.least + 1e-6, True), (found.greatest - 1e-6, True), (found.least - 1e-3, False), (found.greatest + 1e-3, False)):
            if found.greatest - found.least > 1e-5:
                assert laid_out(s, count, jacking, ring, circle) is fits
    assert tried > 50


def test_the_outside_diameter_with_room_is_the_least_one():
    """A ring of that diameter has a circle with room, one a hundredth smaller has none; of the ring's own flange nothing is asked."""
    tried = 0
    for s, count, jacking, ring in some_rings(600):
        needed = room(s, count, jacking, replace(ring, flange_diameter=0.0, circle=None)).outer_diameter
        if needed > ring.outer_diameter:
            continue
        tried += 1
        wide, narrow = (room(s, count, jacking, replace(ring, flange_diameter=0.0, circle=None, outer_diameter=needed + d)) for d in (1e-6, -0.01))
        assert wide.least <= wide.greatest and narrow.least > narrow.greatest
    assert tried > 50


MAIN = RingShape(13.2 + 23 * math.tan(math.radians(5)), 13.2 + math.tan(math.radians(5)), 46, None, 52)


@pytest.mark.verification(source="Main example's ring laid out by hand: 15.212 mm cone radius at the leading end, 13.287 at the trailing")
def test_six_m5_have_no_room_in_a_ring_of_46_and_have_it_in_one_of_48():
    found = room(screw("M5"), 6, 3, MAIN)
    assert found.circle == approx(28.5 / 2 + 23, abs=1e-3)
    assert not found.fits and found.least == approx(2 * 15.2122 + 5.5 + 2.2, abs=1e-3) and found.greatest == 46 - 8.5
    assert found.outer_diameter == approx(2 * 15.2122 + 7.7 + 8.5, abs=1e-3)
    wider = RingShape(MAIN.bore_leading, MAIN.bore_trailing, found.outer_diameter + 1e-6, found.least + 1e-9, 52)
    assert room(screw("M5"), 6, 3, wider).fits
    assert room(screw("M5"), 6, 3, RingShape(MAIN.bore_leading, MAIN.bore_trailing, 48, None, 52)).fits
    assert room(screw("M4"), 6, 3, MAIN).fits


@pytest.mark.parametrize(
    ("ring", "count", "jacking", "words"),
    [
        (RingShape(15, 13, 46, 50), 6, 3, "a circle of 50 mm lies outside the ring, which reaches from 30 to 46 mm"),
        (RingShape(15, 13, 46, 20), 6, 3, "a circle of 20 mm lies outside the ring"),
        (RingShape(15, 13, 46), 40, 0, "heads clear of each other asks for"),
        (RingShape(15, 13, 80, 34), 6, 0, "a web of 1.10 mm between hole and cone at the leading end asks for a circle of 37.70 mm or more; it is 34.00 mm"),
        (RingShape(15, 13, 80, 75), 6, 0, "heads whole on the trailing face asks for a circle of 71.50 mm or less"),
        (RingShape(15, 13, 80, 60, 60), 6, 0, "between thread and the flange's edge"),
        (RingShape(15, 13, 80, 40), 12, 12, "jacking threads"),
    ],
)
def test_what_is_in_the_way_is_said(ring, count, jacking, words):
    found = room(screw("M5"), count, jacking, ring)
    assert not found.fits and words in found.because


@pytest.mark.parametrize(("hole", "least"), [(3.4, 1.0), (5.0, 1.0), (5.5, 1.1), (26, 5.2)])
def test_web_is_one_millimetre_or_a_fifth_of_the_hole(hole, least):
    assert web(hole) == approx(least)
