"""The one form in which every reading of a score is compared.

Positions and lengths are quarter notes as exact fractions, counted from the start of the first
measure as written. A tempo is quarter notes per minute.
"""

from dataclasses import dataclass, field
from fractions import Fraction

#: Quarter notes per minute before the first mark (our decision: MusicXML names no default).
DEFAULT_TEMPO = Fraction(120)


@dataclass
class Timeline:
    """What one reading says about one score."""

    labels: list = field(default_factory=list)
    lengths: list = field(default_factory=list)
    meters: list = field(default_factory=list)
    keys: list = field(default_factory=list)
    #: Triples (measure index, offset in it, quarters per minute); of several at one place the
    #: first counts.
    marks: list = field(default_factory=list)
    #: Measure indices in the order of play; None when this reading cannot tell.
    order: list | None = None
    #: Indices of the measures whose parts differ in length.
    disagreements: list = field(default_factory=list)
    #: What the reading could not use, as text.
    remarks: list = field(default_factory=list)

    def starts(self):
        """Give the start of each measure."""
        starts, position = [], Fraction(0)
        for length in self.lengths:
            starts.append(position)
            position += length
        return starts

    def tempi(self):
        """Give pairs (start, quarters per minute), in order, only where the tempo changes."""
        starts = self.starts()
        return normal_tempi((starts[index] + offset, tempo) for index, offset, tempo in self.marks)

    def played_seconds(self):
        """Give the second at which each played measure starts, and the end.

        On a later pass the tempo is the one in force in written order.
        """
        starts, tempi = self.starts(), self.tempi()
        times, now = [], Fraction(0)
        for index in self.order or []:
            times.append(now)
            now += seconds_between(tempi, starts[index], starts[index] + self.lengths[index])
        return times, now


def seconds_between(tempi, begin, end):
    """Give the seconds from one written position to a later one."""
    total = Fraction(0)
    changes = tempi + [(None, None)]
    for (start, tempo), (following, _) in zip(changes, changes[1:]):
        low = max(begin, start)
        high = end if following is None else min(end, following)
        if high > low:
            total += (high - low) * 60 / tempo
    return total


def normal_tempi(marks):
    """Bring (start, tempo) pairs into order, with the default in front and no repetition.

    Of several marks at one place the first given counts.
    """
    by_start = {}
    for start, tempo in marks:
        by_start.setdefault(start, tempo)
    tempi = []
    for start in sorted(by_start):
        if not tempi and start > 0:
            tempi.append((Fraction(0), DEFAULT_TEMPO))
        if not tempi or tempi[-1][1] != by_start[start]:
            tempi.append((start, by_start[start]))
    return tempi or [(Fraction(0), DEFAULT_TEMPO)]


def expanded_meter(meter):
    """Write a meter with one figure over each unit: "3+2/8" as "3/8+2/8"."""
    parts, figures = [], []
    for piece in meter.split("+"):
        upper, slash, lower = piece.partition("/")
        figures.append(upper)
        if slash:
            parts += [f"{figure}/{lower}" for figure in figures]
            figures = []
    return "+".join(parts + figures)


def meter_length(meter):
    """Give the length of a full measure of a meter such as "3+2/8" or "2/4+3/8".

    None for "free".
    """
    if meter == "free":
        return None
    total, figures = Fraction(0), 0
    for piece in meter.split("+"):
        upper, slash, lower = piece.partition("/")
        figures += int(upper)
        if slash:
            total += Fraction(figures * 4, int(lower))
            figures = 0
    return total


def merged_length(contents, meter):
    """Give the length of a measure whose parts hold these contents.

    The longest part's, unless it alone of several is overfull: then the meter's. A measure
    without content lasts its meter. (Our decision: parts of real files disagree.)
    """
    full = meter_length(meter)
    written = [content for content in contents if content > 0]
    if not written:
        return full if full is not None else Fraction(0)
    longest = max(written)
    if full is not None and len(written) > 1 and longest > full:
        overfull = [content for content in written if content > full]
        if len(overfull) == 1:
            return full
    return longest
