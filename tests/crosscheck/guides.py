"""Guides written for one question, in the saved form, and what the command makes of them."""

import json
import subprocess
import tempfile
from fractions import Fraction
from pathlib import Path


def guide(measures):
    """Give a guide with these measures, each a mapping in the saved form."""
    return {"cueleaf": "1.0", "id": "crosscheck", "road_map": {"measures": measures}}


def tell(command, measures):
    """Give what `cueleaf timeline` prints about a guide with these measures."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "guide.json"
        path.write_text(json.dumps(guide(measures)), encoding="utf-8")
        call = [str(command), "timeline", str(path)]
        done = subprocess.run(call, capture_output=True, text=True, timeout=60, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"exit status {done.returncode}: {done.stderr.strip()[:500]}")
    return json.loads(done.stdout)


def plain_measures(length, count):
    """Give measures of 4/4 that each last this many quarters."""
    measures = [{"label": str(number + 1)} for number in range(count)]
    for measure in measures:
        measure["length"] = str(Fraction(length))
    measures[0]["meter"] = "4/4"
    return measures


def place(position, length):
    """Give (measure, offset in it) of a position on measures of one length."""
    measure = int(position // length)
    return measure, position - measure * length
