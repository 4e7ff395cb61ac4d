"""Checks of the checker: the walk on the cases' truth, and that the comparison can fail."""

import json
import tempfile
from fractions import Fraction
from pathlib import Path

import by_midi
import by_music21
import ours
import walk
from compare import Difference, Row, allow, by_measure_second, compare, read_table
from scores import CASES, case_files
from timeline import Timeline, expanded_meter, merged_length, meter_length, normal_tempi

ALL = ["count", "labels", "starts", "lengths", "meters", "keys", "tempi", "order", "seconds"]


def sample():
    """Give a small timeline: a pickup, a change of meter and tempo, a repeat."""
    return Timeline(
        labels=["0", "1", "2"],
        lengths=[Fraction(1), Fraction(3), Fraction(5, 2)],
        meters=["3/4", "3/4", "3+2/8"],
        keys=[1, 1, -2],
        marks=[(0, Fraction(0), Fraction(60)), (2, Fraction(1, 2), Fraction(90))],
        order=[0, 1, 1, 2],
    )


def checks():
    """Give (name, passed) of each check."""
    truth = json.loads((CASES / "truth.json").read_text(encoding="utf-8"))
    yield "every case has its truth", sorted(truth) == [name for name, _ in case_files()]
    for name, path in case_files():
        line = walk.read(path)
        times, end = line.played_seconds()
        told = truth[name]
        yield f"walk on {name}: order", line.order == told["order"]
        seconds = [float(time) for time in times] + [float(end)]
        # Exact, since the seconds of the cases are short binary fractions.
        yield f"walk on {name}: seconds", seconds == told["seconds"] + [told["end"]]

    # By hand: 1 + 3 + 3 quarters at 60, then half a quarter at 60 and two at 90.
    times, end = sample().played_seconds()
    yield "seconds by hand", times == [0, 1, 4, 7] and end == 7 + Fraction(1, 2) + Fraction(4, 3)
    yield "meter lengths", [meter_length(m) for m in ("4/4", "3+2/8", "2/4+3/8", "free")] == [
        4, Fraction(5, 2), Fraction(7, 2), None]
    yield "expanded meters", expanded_meter("3+2/8+3/4") == "3/8+2/8+3/4"
    lengths = [
        merged_length(contents, "4/4")
        for contents in ([4, 5, 4], [5, 4, 5], [5], [3, 2], [0, 0], [5, 0])
    ]
    yield "lengths of disagreeing parts", lengths == [4, 5, 5, 3, 4, 5]
    yield "tempo before the first mark", normal_tempi([(Fraction(2), Fraction(60))]) == [
        (0, 120), (2, 60)]

    spoilt = {
        "count": lambda told: told.labels.append("3"),
        "labels": lambda told: told.labels.__setitem__(1, "1a"),
        "starts": lambda told: told.own_starts.__setitem__(2, Fraction(5)),
        "lengths": lambda told: told.lengths.__setitem__(0, Fraction(2)),
        "meters": lambda told: told.meters.__setitem__(2, "2+3/8"),
        "keys": lambda told: told.keys.__setitem__(2, None),
        "tempi": lambda told: told.own_tempi.pop(),
        "order": lambda told: told.order.pop(),
        "seconds": lambda told: told.own_seconds.__setitem__(2, 4.00001),
    }
    told = ours.from_walk(sample())
    yield "equal timelines do not differ", not any(compare(told, sample(), ALL).values())
    for quantity, spoil in spoilt.items():
        told = ours.from_walk(sample())
        told.order = list(told.order)
        spoil(told)
        found = {name for name, list_ in compare(told, sample(), ALL).items() if list_}
        yield f"a spoilt timeline is seen: {quantity}", found == {quantity}

    own = ours.from_walk(sample())
    theirs = by_music21.measure_seconds(own.lengths, own.tempi())
    yield "seconds of measures agree", by_measure_second(own, theirs) == []
    late = ours.from_walk(sample())
    late.own_seconds = [0, 1, 4, 7.00001]
    found = [one.place for one in by_measure_second(late, theirs)]
    yield "a measure that lasts too long is seen", found == ["1 [1]", "2 [2]"]
    for reader, read_back in by_midi.READERS.items():
        yield f"{reader} agrees", by_midi.problems(own, read_back) == []
        yield f"a late measure is seen by {reader}", len(by_midi.problems(late, read_back)) == 1

    difference = Difference("lengths", "1 [1]", "3", "4")
    rows = [Row("a", difference, "reason")]
    yield "a row lets its difference pass", allow("a", [difference], [], rows) == [] and rows[0].used
    rows = [Row("a", difference, "reason")]
    refused = allow("a", [difference], [Difference("lengths", "1 [1]", "3", "2")], rows)
    yield "a row needs the walk's consent", refused == [difference] and not rows[0].used
    yield "a row holds for its file only", allow("b", [difference], [], rows) == [difference]
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "table.tsv"
        table.write_text("# remark\na\tlengths\t1 [1]\t3\t4\treason\n", encoding="utf-8")
        yield "the table is read", read_table(table) == rows
