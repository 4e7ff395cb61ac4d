"""Hold `cueleaf timeline` against independent readings of the same scores and the same marks.

One reading is music21, another a plain walk over the XML with exact fractions (walk.py); partitura
unfolds repeats, and mido and pretty_midi read the seconds back from a MIDI file. Where music21 or
partitura differs, divergences.tsv says why; a row there is good only where the walk agrees with
ours, and a row that is not needed fails the run. Guides written for the purpose are held against
numeric integration (gradual.py), accent weights (strengths.py) and stated orders (orders.py).

    python tests/crosscheck/run.py [--cueleaf PATH] [--only TEXT] [--without-command]

`cargo xtask test` makes the environment from requirements.txt and runs this. The last line is
`N passed, N failed`; the exit status is 1 when anything failed.
"""

import argparse
import json
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import music21

import by_midi
import by_music21
import by_partitura
import drawn
import gradual
import hand_out
import incomplete
import midi_read
import orders
import ours
import schema
import scores
import self_check
import strengths
import watch_all
import watch_lists
import watch_twice
import walk
from compare import allow, by_measure_second, compare, read_table
from timeline import expanded_meter

WALKED = ["count", "labels", "starts", "lengths", "meters", "keys", "tempi", "order", "seconds"]
HEARD = ["count", "labels", "lengths", "starts", "meters", "keys", "tempi", "order"]
#: The score on which every part is asked for by its name.
PART_SCORE = "haydn/opus74no1/movement1.mxl"
#: What asks the command about guides of its own, and knows checks of itself.
GUIDE_CHECKS = [gradual, strengths, incomplete, orders, midi_read, watch_lists, watch_twice, watch_all,
                drawn, hand_out, schema]


class Tally:
    """Counts checks and prints those that fail."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def note(self, name, problems):
        """Count one check; problems are lines to print, none when it passed."""
        if not problems:
            self.passed += 1
            return
        self.failed += 1
        print(f"FAILED {name}")
        for line in problems[:8]:
            print(f"    {line}")
        if len(problems) > 8:
            print(f"    … and {len(problems) - 8} more")


def shown(differences):
    """Write differences as lines."""
    return [f"at {one.place}: ours {one.ours}, theirs {one.theirs}" for one in differences]


def corrected(theirs, told, rows, name):
    """Take our length where the table has a row for it, so that one does not shift the rest."""
    for row in rows:
        if row.file == name and row.difference.quantity == "lengths":
            index = int(row.difference.place.split()[0])
            if index < min(len(theirs.lengths), len(told.lengths)):
                theirs.lengths[index] = told.lengths[index]
    return theirs


def corrected_tempi(tempi, rows, name):
    """Take our tempo where the table has a row for it, for the same reason."""
    by_start = dict(tempi)
    for row in rows:
        if row.file == name and row.difference.quantity == "tempi":
            by_start.pop(Fraction(row.difference.place), None)
            if row.difference.ours != "-":
                by_start[Fraction(row.difference.place)] = Fraction(row.difference.ours)
    return sorted(by_start.items())


def check_unfolding(tally, rows, name, path, told, against_walk):
    """Compare the order of play with partitura's, where that is asked."""
    if not by_partitura.is_asked(path):
        return
    try:
        order = by_partitura.played_order(path)
    except IndexError:  # what it raises on an ending that stops short of its repeat sign
        order = None
    doubtful = [replace(one, quantity=by_partitura.QUANTITY) for one in against_walk]
    standing = allow(name, by_partitura.differences(told, order), doubtful, rows)
    tally.note(f"{name}: order, partitura", shown(standing))


def check_file(tally, rows, name, path, timeline_of):
    """Make every comparison for one file."""
    try:
        told = timeline_of(path)
    except Exception as problem:  # whatever it is, it is a failed check of this file
        tally.note(f"{name}: the command", [repr(problem)])
        return
    tally.note(f"{name}: the command", [])

    undecided = name.startswith(scores.UNDECIDED_REPEATS)
    walked = walk.read(path)
    if undecided or walked.disagreements:
        what = "invalid repeats" if undecided else f"parts disagree at {walked.disagreements}"
        tally.note(f"{name}: a finding", [] if told.findings.strip() else [f"none, but {what}"])
    left_out = {"order", "seconds"} if undecided else set()
    if path.parent == scores.EXAMPLES:
        left_out = {"tempi", "seconds"}

    against_walk = compare(told, walked, [one for one in WALKED if one not in left_out])
    for quantity, differences in against_walk.items():
        tally.note(f"{name}: {quantity}, walk", shown(differences))

    theirs = by_music21.read(path)
    quantities = [one for one in HEARD if one not in left_out]
    found = compare(told, theirs, ["lengths"])
    theirs = corrected(theirs, told, rows, name)
    found |= compare(told, theirs, [one for one in quantities if one != "lengths"], expanded_meter)
    for quantity in quantities:
        standing = allow(name, found[quantity], against_walk[quantity], rows)
        tally.note(f"{name}: {quantity}, music21", shown(standing))

    if not undecided:
        check_unfolding(tally, rows, name, path, told, against_walk["order"])
    if "tempi" not in left_out:
        tempi = corrected_tempi(theirs.tempi(), rows, name)
        differences = by_measure_second(told, by_music21.measure_seconds(theirs.lengths, tempi))
        tally.note(f"{name}: measure seconds, music21", shown(differences))
        for check, problems in by_midi.checks(name, told):
            tally.note(check, problems)


def check_truth(tally, timeline_of):
    """Compare the cases with their stated truth."""
    truth = json.loads((scores.CASES / "truth.json").read_text(encoding="utf-8"))
    for name, path in scores.case_files():
        try:
            told = timeline_of(path)
        except Exception as problem:
            tally.note(f"{name}: truth", [repr(problem)])
            continue
        stated = truth[name]
        differ = told.order != stated["order"]
        problems = [f"ours {told.order}, stated {stated['order']}"] if differ else []
        tally.note(f"{name}: order, truth", problems)
        times, end = told.played_seconds()
        ours_all = [float(one) for one in times] + [float(end)]
        stated_all = stated["seconds"] + [stated["end"]]
        differ = len(ours_all) != len(stated_all) or any(
            abs(a - b) > 1e-6 for a, b in zip(ours_all, stated_all))
        problems = [f"ours {ours_all}, stated {stated_all}"] if differ else []
        tally.note(f"{name}: seconds, truth", problems)


def check_parts(tally, command, path):
    """Ask for each part by its name: the measures are those of the whole score."""
    try:
        whole = ours.run(command, path)
    except Exception as problem:
        tally.note(f"{PART_SCORE}: parts", [repr(problem)])
        return
    for part in walk.read_document(path).findall("part-list/score-part/part-name"):
        try:
            told = ours.run(command, path, part.text)
            same = (told.labels, told.lengths, told.meters, told.order) == (
                whole.labels, whole.lengths, whole.meters, whole.order)
            problems = [] if same else ["its measures differ from the score's"]
        except Exception as problem:
            problems = [repr(problem)]
        tally.note(f"{PART_SCORE}: part {part.text}", problems)


def check_guides(tally, command):
    """Ask about the guides that were written for one question each."""
    for module in GUIDE_CHECKS:
        try:
            for name, problems in module.checks(command):
                tally.note(name, problems)
        except Exception as problem:
            tally.note(f"{module.__name__}: the command", [repr(problem)])


def main():
    """Run everything that the arguments ask for."""
    parser = argparse.ArgumentParser(description="Compare cueleaf timeline with outside readings.")
    parser.add_argument("--cueleaf", type=Path, default=scores.ROOT / "target" / "release" / "cueleaf")
    parser.add_argument("--only", default="", help="only files whose name has this text")
    parser.add_argument(
        "--without-command", action="store_true",
        help="take the walk's reading for ours: shows whether walk, music21 and the table agree")
    arguments = parser.parse_args()

    tally, rows = Tally(), read_table()
    for name, passed in self_check.checks():
        tally.note(name, [] if passed else ["does not hold"])

    for module in GUIDE_CHECKS:
        for name, passed in module.self_checks():
            tally.note(name, [] if passed else ["does not hold"])

    if not arguments.without_command and not arguments.cueleaf.exists():
        wanted = "build it with: cargo build --release -p cueleaf"
        tally.note("the command", [f"{arguments.cueleaf} is missing; {wanted}"])
        return finish(tally)

    def timeline_of(path):
        if arguments.without_command:
            return ours.from_walk(walk.read(path))
        return ours.run(arguments.cueleaf, path)

    folder = Path(music21.__file__).parent
    files = scores.corpus_files(folder) + scores.suite_files(folder)
    files += scores.case_files() + scores.example_files()
    for name, path in files:
        if arguments.only in name:
            check_file(tally, rows, name, path, timeline_of)
    check_truth(tally, timeline_of)
    if not arguments.only:
        if not arguments.without_command:
            check_parts(tally, arguments.cueleaf, folder / "corpus" / PART_SCORE)
            check_guides(tally, arguments.cueleaf)
        for row in rows:
            problems = [] if row.used else [f"not used: {row.difference}"]
            tally.note(f"{row.file}: row of the table", problems)
    return finish(tally)


def finish(tally):
    """Print the closing line and give the exit status."""
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
