"""The watch list of one part of every MusicXML file in music21: there is a list, it is sound, and it
is the same the second time."""

import json
import re
import subprocess
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import music21

#: The fields of an entry, and no others.
FIELDS = {"kind", "from", "to", "weight", "topic", "sentence", "cue", "numbers"}

TOPICS = {"bow", "left-hand", "pluck", "sound", "count", "listen", "get-ready", "note"}

#: A printed place: the label and the counted beat, with what is past it.
PLACE = re.compile(r"^.* beat \d+(\+\d+(/\d+)?)?$")


#: The most letters of a cue while playing.
CUE = 24

#: What is no problem, but no list either.
REFUSED = []

#: How many lists there have to be, of about 800 files.
ENOUGH = 780


def corpus():
    """Give (name, path) of every MusicXML file of the package: corpus and test suite."""
    folder = Path(music21.__file__).parent
    found = [path for ending in ("mxl", "xml", "musicxml") for path in folder.rglob(f"*.{ending}")]
    return sorted((str(path.relative_to(folder)), path) for path in found)


def part_of(name, path):
    """Give the id of one part, a different one from file to file; None in what is no score."""
    if path.suffix == ".mxl":
        with zipfile.ZipFile(path) as archive:
            inside = [one for one in archive.namelist() if not one.startswith("META-INF") and one.endswith("xml")]
            content = archive.read(inside[0])
    else:
        content = path.read_bytes()
    # In UTF-16, which some are in, every other byte of these letters is zero.
    ids = re.findall(rb"<score-part\b[^>]*\bid=[\"']([^\"']+)", content.replace(b"\0", b""))
    return ids[len(name) % len(ids)].decode() if ids else None


def sound(listed):
    """Give what is the matter with a list, as lines."""
    lines = []
    for one in listed:
        if set(one) != FIELDS:
            lines.append(f"other fields: {sorted(one)}")
        elif not (0 <= one["weight"] <= 100 and one["topic"] in TOPICS and PLACE.match(one["from"])):
            lines.append(f"no weight, topic or place: {one}")
        elif not 0 < len(one["cue"]) <= CUE or one["cue"] != one["cue"].strip():
            lines.append(f"no cue: {one}")
        elif any(isinstance(number, float) and not abs(number) < 1e12 for number in one["numbers"].values()):
            lines.append(f"no number: {one}")
        elif not one["sentence"].endswith(".") or one["from"].split(" beat ")[0] not in one["sentence"]:
            lines.append(f"no sentence with its measure: {one['sentence']}")
    return lines


def problems(command, name, path):
    """Ask twice about one part of a file; give what is the matter."""
    part = part_of(name, path)
    if part is None:
        return None
    call = [str(command), "watch", str(path), "--part", part]
    first, again = (subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
                    for _ in range(2))
    if first.returncode != 0:
        # What the reader refuses it says in a sentence; a panic has another exit status.
        refused = first.returncode == 1 and first.stderr.strip().splitlines()[-1].startswith("error: ")
        return REFUSED if refused else [f"exit status {first.returncode}: {first.stderr[-300:]}"]
    if first.stdout != again.stdout:
        return ["another list the second time"]
    return sound(json.loads(first.stdout))


def checks(command):
    """Give (name, problems) of each file, and how many were asked about."""
    files = corpus()
    with ThreadPoolExecutor(2) as pool:
        found = list(pool.map(lambda one: problems(command, *one), files))
    for (name, _), lines in zip(files, found):
        if lines is not None:
            yield f"{name}: watch list", lines
    listed = sum(1 for lines in found if lines is not None and lines is not REFUSED)
    yield f"{listed} watch lists", [] if listed >= ENOUGH else [f"only {listed}"]


def self_checks():
    """Give (name, whether it holds): an unsound entry is seen."""
    good = {"kind": "leap", "from": "3 beat 1+1/2", "to": "3", "weight": 44, "topic": "left-hand",
            "sentence": "Measure 3, beat 1: a leap.", "cue": "leap to D 5", "numbers": {"semitones": 12}}
    yield "watch lists: a good entry is sound", sound([good]) == []
    for change in [{"weight": 101}, {"topic": "x"}, {"from": "3"}, {"sentence": "Measure 4."}, {"cue": ""}, {"cue": "x" * 25},
                   {"numbers": {"a": float("nan")}}, {"more": 1}]:
        yield f"watch lists: seen {list(change)[0]}", len(sound([good | change])) == 1
