"""Two timelines held against each other, and the table of allowed divergences."""

import csv
from dataclasses import dataclass
from pathlib import Path

#: Seconds may differ by the rounding of floating point, no more.
SECONDS_TOLERANCE = 1e-6

TABLE = Path(__file__).resolve().parent / "divergences.tsv"


@dataclass(frozen=True)
class Difference:
    """One place where two readings differ."""

    quantity: str
    place: str
    ours: str
    theirs: str


@dataclass
class Row:
    """One allowed divergence from another reader."""

    file: str
    difference: Difference
    reason: str
    used: bool = False


def read_table(path=TABLE):
    """Read the table of divergences. Lines that begin with # are remarks."""
    rows = []
    with open(path, encoding="utf-8", newline="") as file:
        for line in csv.reader(file, delimiter="\t"):
            if not line or line[0].startswith("#"):
                continue
            name, quantity, place, ours, theirs, reason = line
            rows.append(Row(name, Difference(quantity, place, ours, theirs), reason))
    return rows


def spans(order):
    """Write an order of play briefly: "0-8 1-6 9"."""
    if order is None:
        return "cannot tell"
    runs = []
    for index in order:
        if runs and index == runs[-1][1] + 1:
            runs[-1][1] = index
        else:
            runs.append([index, index])
    return " ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def by_measure(quantity, ours, theirs, labels):
    """Compare two lists with one entry a measure.

    The place is the index, with the label in brackets. A different count of measures is told by
    the quantity "count".
    """
    found = []
    for index, (one, other) in enumerate(zip(ours, theirs)):
        if one != other:
            place = f"{index} [{labels[index]}]"
            found.append(Difference(quantity, place, str(one), str(other)))
    return found


def by_start(ours, theirs):
    """Compare two tempo courses; a place without a change is shown as "-"."""
    one, other = dict(ours), dict(theirs)
    found = []
    for start in sorted(one.keys() | other.keys()):
        if one.get(start) != other.get(start):
            shown = [str(each.get(start, "-")) for each in (one, other)]
            found.append(Difference("tempi", str(start), *shown))
    return found


def by_second(ours, theirs):
    """Compare the seconds at which the played measures start, and the end."""
    (times, end), (other_times, other_end) = ours, theirs
    found = []
    pairs = list(zip(times, other_times)) + [(end, other_end)]
    for place, (one, other) in enumerate(pairs):
        if abs(float(one) - float(other)) > SECONDS_TOLERANCE:
            name = "end" if place == len(pairs) - 1 else f"played {place}"
            found.append(Difference("seconds", name, str(float(one)), str(float(other))))
    return found


def by_measure_second(ours, theirs):
    """Compare how long each played measure lasts with a list of all measures' seconds."""
    times, end = ours.played_seconds()
    found = {}
    for index, start, following in zip(ours.order, times, times[1:] + [end]):
        lasts = float(following) - float(start)
        if index >= len(theirs) or abs(lasts - theirs[index]) > SECONDS_TOLERANCE:
            place = f"{index} [{ours.labels[index]}]"
            other = str(theirs[index]) if index < len(theirs) else "-"
            found[index] = Difference("measure seconds", place, str(lasts), other)
    return list(found.values())


def compare(ours, theirs, quantities, meter_form=str):
    """Give, for each quantity, the list of differences."""
    found = {}
    for quantity in quantities:
        if quantity == "count":
            counts = len(ours.labels), len(theirs.labels)
            differ = counts[0] != counts[1]
            found[quantity] = [Difference("count", "all", *map(str, counts))] if differ else []
        elif quantity == "starts":
            found[quantity] = by_measure(quantity, ours.starts(), theirs.starts(), ours.labels)
        elif quantity == "tempi":
            found[quantity] = by_start(ours.tempi(), theirs.tempi())
        elif quantity == "order":
            shown = spans(ours.order), spans(theirs.order)
            differ = ours.order != theirs.order
            found[quantity] = [Difference("order", "all", *shown)] if differ else []
        elif quantity == "seconds":
            found[quantity] = by_second(ours.played_seconds(), theirs.played_seconds())
        elif quantity == "meters":
            pair = [[meter_form(meter) for meter in each.meters] for each in (ours, theirs)]
            found[quantity] = by_measure(quantity, *pair, ours.labels)
        else:
            pair = getattr(ours, quantity), getattr(theirs, quantity)
            found[quantity] = by_measure(quantity, *pair, ours.labels)
    return found


def allow(name, differences, against_walk, rows):
    """Give the differences that stand after the table is applied.

    A row lets one difference pass, and only where the walk with fractions agrees with ours in
    that quantity at that place.
    """
    doubtful = {(one.quantity, one.place) for one in against_walk}
    standing = []
    for difference in differences:
        row = next((r for r in rows if r.file == name and r.difference == difference), None)
        if row is not None and (difference.quantity, difference.place) not in doubtful:
            row.used = True
        else:
            standing.append(difference)
    return standing
