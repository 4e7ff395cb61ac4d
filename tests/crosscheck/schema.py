"""The JSON Schema of the saved form, held against what the command writes and what it refuses.

The validator is the package jsonschema. Guides that the command writes fit the schema; what the
schema refuses here, the command refuses, too.
"""

import copy
import json
import subprocess
import tempfile
from pathlib import Path

from jsonschema import Draft202012Validator

import hand_out
import scores

SCHEMA = scores.ROOT / "crates" / "guide" / "guide.schema.json"
CAPTIONS = "WEBVTT\n\n00:01.000 --> 00:04.000\nIn measure 5 start at the frog\n\n00:05.000 --> 00:09.000\nfrom measure 9 on pizzicato\n"

#: Ways to spoil a guide: where, and what stands there then. `...` takes the field away.
WRONG = [
    ("cueleaf", ...), ("cueleaf", 1), ("cueleaf", "2.0"), ("cueleaf", "one"),
    ("id", ...), ("id", "no spaces"), ("id", ""), ("id", "x" * 65), ("title", 3), ("title", "x" * 20_001),
    ("settings", []), ("settings/language", "xx"), ("settings/count_in", -1), ("settings/count_in", 256),
    ("settings/measure_word", "Bar"), ("settings/count_style", None),
    ("parts", {}), ("parts/0/id", ...), ("parts/0/name", ...), ("parts/0/marks/0/kind", "whistle"),
    ("parts/0/marks/0/measure", -1), ("parts/0/marks/0/measure", "1"), ("parts/0/marks/0/at", "x"),
    ("parts/0/marks/0/at", "1/0"), ("parts/0/marks/0/to", {"at": "1"}),
    ("road_map/measures", {}), ("road_map/measures/0/meter", "4/5"), ("road_map/measures/0/meter", "0/4"),
    ("road_map/measures/0/meter", "3+/8"), ("road_map/measures/0/groups", "2+0"), ("road_map/measures/0/key", 8),
    ("road_map/measures/0/key", "D"), ("road_map/measures/0/label", 1), ("road_map/measures/0/length", "-1"),
    ("road_map/measures/0/pickup", "yes"), ("road_map/measures/0/tempo/0/tempo", "60"),
    ("road_map/measures/0/tempo/0/tempo", "crotchet = 60"), ("road_map/measures/0/tempo/0/shape", "steep"),
    ("road_map/measures/0/tempo/0/back", "home"), ("road_map/measures/0/tempo/0/same_beat", "quarter"),
    ("road_map/measures/0/repeat_back", 65_536), ("road_map/measures/0/ending", [-1]),
    ("road_map/measures/0/jump", {"until": "never"}), ("road_map/measures/0/holds", [{"lead_in": 300}]),
    ("road_map/measures/0/count", {"beat": "huge"}),
    ("tips/0/id", ...), ("tips/0/spot", ...), ("tips/0/spot", {}), ("tips/0/topic", "bows"), ("tips/0/ahead", 1.5),
    ("tips/0/parts", ["a b"]), ("tips/0/bow", {"from": "frog"}), ("tips/0/bow", {"from": "nut", "way": "up"}),
    ("tips/0/rhythm", [{"note": "dotted"}]), ("tips/0/rhythm", [{"note": "half", "tuplet": [3]}]),
    ("tips/0/watch", {}), ("tips/0/watch", {"seconds": -1}), ("todos/0/text", ...), ("todos/0", "x"),
]

#: Guides that stand on no shelf: as small as can be, and with fields of a later minor version.
RIGHT = [
    {"cueleaf": "1.0", "id": "a"},
    {"cueleaf": "1.12", "id": "a", "later": [1], "settings": {"glow": True}},
    {"cueleaf": "1.0", "id": "a", "road_map": {"measures": [{"meter": "2/4+3/8", "length": "1.5", "key": -7,
     "count": {"beat": "small"}, "tempo": [{"same_beat": "1/3 = triple-dotted 16th"}]}]}},
]


def base():
    """Give a guide in which every place of WRONG is filled."""
    place = {"measure": 0, "at": "1/2"}
    return {
        "cueleaf": "1.0", "id": "a", "title": "T", "settings": {"language": "de", "count_in": 0},
        "parts": [{"id": "va", "name": "Viola", "marks": [{"measure": 0, "at": "1", "kind": "pizz", "to": place}]}],
        "road_map": {"measures": [{"label": "1", "meter": "5/8", "groups": "2+3", "length": "5/2",
                                   "tempo": [{"tempo": "dotted quarter = 66", "until": place}]}]},
        "tips": [{"id": "t", "spot": {"from": place, "to": place}, "text": "x", "parts": ["va"]}],
        "todos": [{"id": "d", "text": "x"}],
    }


def spoiled(path, value):
    """Give the base guide with one place spoiled."""
    guide = copy.deepcopy(base())
    *steps, last = [int(step) if step.isdigit() else step for step in path.split("/")]
    inside = guide
    for step in steps:
        inside = inside[step]
    if value is ...:
        del inside[last]
    else:
        inside[last] = value
    return guide


def validator():
    """Give the validator of the schema."""
    return Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))


def misfits(check, guide):
    """Give what does not fit, as lines."""
    return [f"{one.json_path}: {one.message[:200]}" for one in check.iter_errors(guide)]


def refused(command, folder, guide):
    """Tell whether the command cannot open a guide."""
    path = Path(folder) / "guide.json"
    path.write_text(json.dumps(guide), encoding="utf-8")
    done = subprocess.run([str(command), "check", str(path)], capture_output=True, text=True,
                          timeout=60, check=False)
    # Not what is found in a guide that could be opened.
    return done.returncode == 1 and "above prevent the result" not in done.stderr


def drafts(command, folder):
    """Give (name, guide) of what the command drafts from scores and captions."""
    sources = scores.case_files() + scores.example_files()
    captions = Path(folder) / "talk.vtt"
    captions.write_text(CAPTIONS, encoding="utf-8")
    for name, source in [*sources, ("talk.vtt", captions)]:
        out = Path(folder) / "draft.json"
        hand_out.call(command, "draft", source, "--id", "draft", "-o", out)
        yield name, json.loads(out.read_text(encoding="utf-8"))


def checks(command):
    """Give (name, problems) of guides that fit and of such that must not."""
    check = validator()
    for path in sorted(scores.EXAMPLES.glob("*.json")):
        yield f"schema: {path.name}", misfits(check, json.loads(path.read_text(encoding="utf-8")))
    with tempfile.TemporaryDirectory() as folder:
        for name, guide in drafts(command, folder):
            yield f"schema: draft of {name}", misfits(check, guide)
        for number, guide in enumerate([base(), *RIGHT]):
            problems = misfits(check, guide)
            if refused(command, folder, guide):
                problems.append("the command refuses it")
            yield f"schema: right guide {number}", problems
        for path, value in WRONG:
            guide = spoiled(path, value)
            problems = [] if misfits(check, guide) else ["it fits"]
            if not refused(command, folder, guide):
                problems.append("the command takes it")
            shown = "no field" if value is ... else str(value)[:30]
            yield f"schema: {shown} at {path}", problems


def self_checks():
    """Give (name, whether it holds) of what the checks themselves rest on."""
    Draft202012Validator.check_schema(json.loads(SCHEMA.read_text(encoding="utf-8")))
    yield "schema: the base fits", not misfits(validator(), base())
    yield "schema: spoiling spoils", all(spoiled(path, value) != base() for path, value in WRONG)
