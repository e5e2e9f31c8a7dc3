"""Checks the job cases and the examples against schema/job.schema.json.

    validate_cases.py REPOSITORY FOLDER_OF_WRITTEN_CASES

Accepted cases must validate, and so must what the program writes of them. Refused cases marked `structure` must not. Cases marked `meaning` break a rule that a
schema cannot state (ranges in two units, names used twice): the schema lets them pass. Cases marked `text` are no JSON,
or use a name twice.
"""

import json
import pathlib
import sys

from jsonschema import Draft202012Validator

root = pathlib.Path(sys.argv[1])
schema = json.loads((root / "schema/job.schema.json").read_text(encoding="utf-8"))
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
wrong = []
counted = {"good": 0, "written": 0, "structure": 0, "meaning": 0, "text": 0}


def first_error(path):
    error = next(validator.iter_errors(json.loads(path.read_text(encoding="utf-8"))), None)
    return None if error is None else f"{list(error.absolute_path)}: {error.message[:200]}"


for path in sorted((root / "tests/cases/job/good").glob("*.json")) + sorted((root / "examples").glob("*.json")):
    counted["good"] += 1
    if (error := first_error(path)) is not None:
        wrong.append(f"{path.name} is accepted, but the schema refuses {error}")

for path in sorted(pathlib.Path(sys.argv[2]).glob("*.json")):
    counted["written"] += 1
    if (error := first_error(path)) is not None:
        wrong.append(f"{path.name} as the program writes it is refused by the schema: {error}")

for path in sorted((root / "tests/cases/job/bad").glob("*.json")):
    kind = path.with_suffix(".expect").read_text(encoding="utf-8").splitlines()[0]
    counted[kind] += 1
    if kind == "structure" and first_error(path) is None:
        wrong.append(f"{path.name} breaks the structure, but the schema lets it pass")
    if kind == "meaning" and (error := first_error(path)) is not None:
        wrong.append(f"{path.name} is marked meaning, but the schema refuses {error}")

print("\n".join(wrong))
if wrong or min(counted.values()) == 0:
    sys.exit(f"{len(wrong)} cases disagree, counted {counted}")
print(f"cases agree: {counted}")
