"""The orders of play in tests/cases/orders.json, each asked of the command by a guide.

The guide has the row's signs in the saved form; the order is compared by the printed numbers.
"""

import json
from fractions import Fraction

from guides import tell
from scores import ROOT

FILE = ROOT / "tests" / "cases" / "orders.json"


def rows():
    """Give the rows of the file."""
    return json.loads(FILE.read_text(encoding="utf-8"))["rows"]


def numbers(order):
    """Give the numbers that spans such as "1-4 1-8" stand for."""
    found = []
    for span in order.split():
        first, _, last = span.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def measures_of(row):
    """Give the measures of a row in the saved form; of 4/4 unless it says otherwise."""
    measures = [
        {"label": str(number)} | row["signs"].get(str(number), {})
        for number in range(row["first"], row["first"] + row["count"])]
    measures[0].setdefault("meter", "4/4")
    return measures


def problems(row, told):
    """Give where the timeline of a row's guide differs from the row."""
    ours = [entry["label"] for entry in told["played"]]
    wanted = [str(number) for number in numbers(row["order"])]
    found = [] if ours == wanted else [f"ours {' '.join(ours)}", f"stated {' '.join(wanted)}"]
    lengths = {one["label"]: Fraction(one["length"]) for one in told["measures"]}
    for number, length in lengths.items():
        stated = Fraction(row["signs"].get(number, {}).get("length", 4))
        if length != stated:
            found.append(f"measure {number} lasts {length}, stated {stated}")
    # 120 quarters a minute, since no row has a tempo.
    seconds = sum(lengths[label] for label in ours) / 2
    if abs(told["seconds"] - float(seconds)) > 1e-9:
        found.append(f"{told['seconds']} seconds, its measures make {seconds}")
    return found


def checks(command):
    """Give (name, problems) of each check."""
    for row in rows():
        told = tell(command, measures_of(row))
        yield f"order of play {row['id']}, {row['asks']}", problems(row, told)


def self_checks():
    """Give (name, passed): that the rows hold together."""
    yield "spans are read", numbers("1-3 1 5-6") == [1, 2, 3, 1, 5, 6]
    for row in rows():
        bearers = {int(number) for number in row["signs"]}
        inside = bearers <= set(range(row["first"], row["first"] + row["count"]))
        counted = len(numbers(row["order"])) == row["played"]
        yield f"row {row['id']} holds together", inside and counted and bool(row["source"])
