"""Gradual tempo against numeric integration.

The tempo after the part x of the way from v to w·v is v · (1 + (w^q − 1) x)^(1/q), with q = 1
for a change that is even in beats, 2 for one that is even in time, 3 for the runner (Friberg and
Sundberg 1999, J. Acoust. Soc. Am. 105, 1469; the general form follows from theirs). Here 60 / tempo
is integrated by scipy, with no closed form; where a mark cuts a change short, where a hold stands
and what an equation or a return gives is worked out here from the rules alone.
"""

import random
from dataclasses import dataclass
from fractions import Fraction

from scipy.integrate import quad

from guides import place, plain_measures, tell

SHAPES = {"even-in-beats": 1, "even-in-time": 2, "runner": 3}

#: What closed forms and numeric integration may differ by, as a part of the whole.
TOLERANCE = 1e-9

#: Long enough that a change spans several measures, and no divisor of the spans.
MEASURE = Fraction(5, 2)

SPANS = [Fraction(1, 3), Fraction(1), Fraction(4), Fraction(23, 2), Fraction(64), Fraction(400)]
PAIRS = [
    ("60", "60"), ("100", "100.01"), ("96", "72"), ("60", "144"), ("200", "20"), ("33.3", "271")]


@dataclass
class Piece:
    """A stretch of one steady or gradual tempo, in quarters a minute; it may stop on the way."""

    start: Fraction
    end: Fraction
    #: Where the change began.
    leaves: Fraction
    first: float
    last: float
    span: Fraction
    power: int

    def speed(self, position):
        """Give the tempo at a position."""
        if self.first == self.last:
            return self.first
        part = min((position - float(self.leaves)) / float(self.span), 1.0)
        growth = (self.last / self.first) ** self.power - 1
        return self.first * (1 + growth * part) ** (1 / self.power)

    def seconds(self, begin, end):
        """Integrate from one position to another."""
        low, high = max(begin, self.start), min(end, self.end)
        if high <= low:
            return 0.0
        arrives = self.leaves + self.span
        corners = [low, arrives, high] if low < arrives < high else [low, high]
        return sum(
            quad(lambda x: 60 / self.speed(x), float(a), float(b), epsabs=0, epsrel=1e-13)[0]
            for a, b in zip(corners, corners[1:]))


class Line:
    """A line of marks: writes the guide, and beside it the pieces that are meant."""

    def __init__(self, tempo):
        self.marks = [(Fraction(0), {"tempo": f"quarter = {tempo}"})]
        self.holds = []
        self.pieces = []
        self.position = self.leaves = self.reach = Fraction(0)
        self.first = self.last = float(Fraction(tempo))
        self.span, self.power = Fraction(0), 1

    def go(self, quarters):
        """Play on to the next mark."""
        end = self.position + quarters
        self.pieces.append(
            Piece(self.position, end, self.leaves, self.first, self.last, self.span, self.power))
        self.position = end
        self.reach = max(self.reach, end)

    def at_once(self, quarters, **mark):
        """Set a tempo here; the mark says it in quarters unless told otherwise."""
        self.marks.append((self.position, mark or {"tempo": f"quarter = {quarters}"}))
        self.first = self.last = float(Fraction(quarters))
        self.leaves, self.span = self.position, Fraction(0)

    def toward(self, quarters, span, shape, **mark):
        """Begin to change here, toward a tempo that would be reached after a span."""
        if self.pieces:
            reached = self.pieces[-1].speed(float(self.position))
            # A change that is cut short is left at a tempo kept to a thousandth (our decision).
            arrived = reached in (self.first, self.last)
            self.first = reached if arrived else round(reached, 3)
        measure, at = place(self.position + span, MEASURE)
        until = {"measure": measure, "at": str(at)}
        told = {"until": until, "shape": shape} | (mark or {"tempo": f"quarter = {quarters}"})
        self.marks.append((self.position, told))
        self.last = float(Fraction(quarters))
        self.leaves, self.span, self.power = self.position, span, SHAPES[shape]
        self.reach = max(self.reach, self.position + span)

    def hold(self, back, longer):
        """Wait before the present place, so many quarters back."""
        at = self.position - back
        speed = next(one for one in self.pieces if one.start <= at < one.end).speed(float(at))
        self.holds.append((at, longer, 60 * float(longer) / speed))

    def measures(self):
        """Give the measures of the guide: to where the last change would arrive, and some more."""
        measures = plain_measures(MEASURE, int(self.reach // MEASURE) + 1)
        for position, mark in self.marks:
            measure, at = place(position, MEASURE)
            measures[measure].setdefault("tempo", []).append({"at": str(at)} | mark)
        for position, longer, _ in sorted(self.holds):
            measure, at = place(position, MEASURE)
            hold = {"at": str(at), "longer": str(longer)}
            measures[measure].setdefault("holds", []).append(hold)
        self.go(MEASURE * len(measures) - self.position)
        for measure in measures:
            measure.get("tempo", []).sort(key=lambda mark: Fraction(mark["at"]))
        return measures

    def seconds(self, begin, end):
        """Give the seconds between two positions; a hold at the end has not been waited for."""
        waited = sum(time for at, _, time in self.holds if begin <= at < end)
        return waited + sum(piece.seconds(begin, end) for piece in self.pieces)


def differences(command, line):
    """Give the measures whose start or end is not where numeric integration puts it."""
    measures = line.measures()
    told = tell(command, measures)
    ours = [entry["start_seconds"] for entry in told["played"]] + [told["seconds"]]
    if len(ours) != len(measures) + 1:
        return [f"{len(ours) - 1} measures are played of {len(measures)}"]
    found, expected = [], 0.0
    for index, second in enumerate(ours):
        if index:
            expected += line.seconds((index - 1) * MEASURE, index * MEASURE)
        if abs(second - expected) > TOLERANCE * max(expected, 1e-3):
            found.append(f"measure {index}: ours {second!r}, integrated {expected!r}")
    return found


def single(shape, first, last, span):
    """Give one whole change with steady measures before and after it."""
    line = Line(first)
    line.go(Fraction(3, 2))
    line.toward(last, span, shape)
    line.go(span + 1)
    return line


def cut_short(shape, first, last, span):
    """Give a change that three other marks cut short, one of them another change."""
    line = Line(first)
    line.toward(last, span, shape)
    line.go(span * Fraction(2, 5))
    line.toward(first, span, shape)
    line.go(span * Fraction(3, 4))
    line.toward("88", span, "even-in-time")
    line.go(span / 3)
    line.at_once("77")
    line.go(Fraction(4))
    return line


def held(shape, first, last, span):
    """Give a change with a hold inside it, one at its start and one after it."""
    line = Line(first)
    line.go(Fraction(5))
    line.toward(last, span, shape)
    line.go(span + 2)
    line.hold(span + 2, Fraction(1))
    line.hold(span * Fraction(3, 7) + 2, Fraction(3, 2))
    line.hold(Fraction(1), Fraction(2))
    return line


def by_hand():
    """Give (name, line) of equations and returns whose tempi are worked out here by hand."""
    line = Line("80")
    line.go(Fraction(7))
    line.at_once("120", same_beat="quarter = dotted quarter")
    line.go(Fraction(6))
    line.at_once("80", same_beat="dotted quarter = quarter")
    line.go(Fraction(3))
    line.at_once("120", same_beat="1/3 = eighth")
    line.go(Fraction(3))
    yield "equations there and back, and of a triplet", line

    line = Line("60")
    line.go(Fraction(4))
    line.toward("90", Fraction(8), "runner")
    line.go(Fraction(8))
    line.at_once("135", same_beat="quarter = dotted quarter")
    line.go(Fraction(5))
    yield "an equation where a change has arrived", line

    line = Line("72")
    line.go(Fraction(4))
    line.toward("54", Fraction(6), "even-in-beats")
    line.go(Fraction(6))
    line.at_once("72", back="to-before")
    line.go(Fraction(6))
    yield "a tempo after a rit.", line

    line = Line("72")
    line.go(Fraction(4))
    line.toward("54", Fraction(8), "runner")
    line.go(Fraction(5))
    line.at_once("72", back="to-before")
    line.go(Fraction(6))
    yield "a tempo that cuts a rit. short", line

    line = Line("72")
    line.go(Fraction(4))
    line.toward("60", Fraction(4), "even-in-time")
    line.go(Fraction(4))
    line.toward("48", Fraction(4), "even-in-time")
    line.go(Fraction(4))
    line.at_once("72", back="to-before")
    line.go(Fraction(6))
    yield "a tempo after two changes in a row", line

    line = Line("72")
    line.go(Fraction(4))
    line.toward("90", Fraction(4), "even-in-beats")
    line.go(Fraction(7))
    line.toward("60", Fraction(3), "runner")
    line.go(Fraction(3))
    line.at_once("90", back="to-before")
    line.go(Fraction(6))
    yield "a tempo after a steady stretch returns to it", line

    line = Line("90")
    line.go(Fraction(1))
    line.hold(Fraction(1), Fraction(3))
    line.go(Fraction(6))
    yield "a hold on the very first beat", line

    line = Line("100")
    line.go(Fraction(4))
    line.at_once("63")
    line.go(Fraction(4))
    line.toward("40", Fraction(7), "even-in-beats")
    line.go(Fraction(7))
    line.at_once("100", back="to-first")
    line.go(Fraction(9, 2))
    yield "tempo primo", line

    line = Line("100")
    line.go(Fraction(4))
    line.at_once("50")
    line.go(Fraction(4))
    line.toward("100", Fraction(7), "even-in-time", back="to-first")
    line.go(Fraction(10))
    yield "a gradual tempo primo", line

    line = Line("100")
    line.go(Fraction(4))
    line.at_once("66", tempo="dotted quarter = 44")
    line.go(Fraction(3))
    line.toward("99", Fraction(7), "runner", tempo="dotted quarter = 66")
    line.go(Fraction(10))
    yield "marks in dotted quarters", line


def by_chance(number):
    """Give a line of marks thrown together, the same for the same number."""
    dice = random.Random(number)
    line = Line(str(dice.randint(40, 200)))
    for _ in range(dice.randint(3, 9)):
        stay = Fraction(dice.randint(1, 40), dice.choice([1, 2, 3, 4, 6]))
        tempo = str(Fraction(dice.randint(120, 1000), 4))
        if dice.random() < 0.6:
            span = stay * dice.choice([Fraction(1, 2), 1, 2, 3])
            line.toward(tempo, span, dice.choice(list(SHAPES)))
        else:
            line.at_once(tempo)
        line.go(stay)
        if dice.random() < 0.4:
            line.hold(stay * Fraction(dice.randint(1, 6), 7), Fraction(dice.randint(1, 8), 2))
    return line


def lines():
    """Give (name, line) of everything that is compared."""
    for shape in SHAPES:
        for first, last in PAIRS:
            for span in SPANS:
                name = f"{shape} from {first} to {last} over {span}"
                yield name, single(shape, first, last, span)
                if span > 1 and first != last:
                    yield f"{name}, cut short", cut_short(shape, first, last, span)
                    yield f"{name}, held", held(shape, first, last, span)
    yield from by_hand()
    for number in range(80):
        yield f"marks by chance {number}", by_chance(number)


def checks(command):
    """Give (name, problems) of each check."""
    for name, line in lines():
        yield f"gradual tempo: {name}", differences(command, line)


def self_checks():
    """Give (name, passed): integration against values known by hand, and that it can differ."""
    # Even in beats from 120 to 60 over four: 4 ln 2 seconds; even in time the mean tempo is 90.
    for power, expected in ((1, 2.772588722239781), (2, 8 / 3)):
        piece = Piece(Fraction(0), Fraction(4), Fraction(0), 120.0, 60.0, Fraction(4), power)
        integrated = piece.seconds(Fraction(0), Fraction(4))
        yield f"integration by hand, q = {power}", abs(integrated - expected) < 1e-12
    totals = {shape: single(shape, "96", "72", Fraction(4)) for shape in SHAPES}
    for line in totals.values():
        line.measures()
    ends = [line.seconds(Fraction(0), line.position) for line in totals.values()]
    yield "shapes are told apart", all(abs(a - b) > 1e-3 for a, b in zip(ends, ends[1:]))
