"""The timeline as the command `cueleaf timeline` prints it."""

import json
import subprocess
from dataclasses import dataclass
from fractions import Fraction

from timeline import Timeline, normal_tempi


@dataclass
class Told(Timeline):
    """What the command says, with its own starts and seconds, nothing worked out here."""

    own_starts: list = None
    own_tempi: list = None
    own_seconds: list = None
    own_end: float = None
    findings: str = ""

    def starts(self):
        return self.own_starts

    def tempi(self):
        return self.own_tempi

    def played_seconds(self):
        return self.own_seconds, self.own_end


def from_walk(line):
    """Dress another reading as the command's, to try the comparison itself."""
    times, end = line.played_seconds()
    return Told(
        labels=list(line.labels), lengths=list(line.lengths), meters=list(line.meters),
        keys=list(line.keys), order=line.order, own_starts=line.starts(), own_tempi=line.tempi(),
        own_seconds=times, own_end=end, findings="tried without the command",
    )


def from_json(text, findings):
    """Read the printed JSON."""
    told = json.loads(text)
    measures, played = told["measures"], told["played"]
    places = [measure["index"] for measure in measures]
    if places != list(range(len(measures))):
        raise ValueError(f"measure indices do not run from 0: {places[:20]}")
    for entry in played:
        if entry["label"] != measures[entry["index"]]["label"]:
            raise ValueError(f"a played measure bears another label: {entry}")
    return Told(
        labels=[measure["label"] for measure in measures],
        lengths=[Fraction(measure["length"]) for measure in measures],
        meters=[measure["meter"] for measure in measures],
        keys=[measure["key"] for measure in measures],
        order=[entry["index"] for entry in played],
        own_starts=[Fraction(measure["start"]) for measure in measures],
        own_tempi=normal_tempi(
            (Fraction(item["start"]), Fraction(str(item["quarters_per_minute"])))
            for item in told["tempo"]
        ),
        own_seconds=[entry["start_seconds"] for entry in played],
        own_end=told["seconds"],
        findings=findings,
    )


def run(command, path, part=None):
    """Run `cueleaf timeline` on a file and read what it prints."""
    call = [str(command), "timeline", str(path)]
    if part is not None:
        call += ["--part", part]
    done = subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"exit status {done.returncode}: {done.stderr.strip()[:500]}")
    return from_json(done.stdout, done.stderr)
