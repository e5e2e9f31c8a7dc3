"""Checks every plan in a folder against schema/plan.schema.json.

    validate_plans.py REPOSITORY FOLDER
"""

import json
import pathlib
import sys

from jsonschema import Draft202012Validator

schema = json.loads((pathlib.Path(sys.argv[1]) / "schema/plan.schema.json").read_text(encoding="utf-8"))
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
plans = sorted(pathlib.Path(sys.argv[2]).glob("*.json"))
wrong = []
for path in plans:
    for error in validator.iter_errors(json.loads(path.read_text(encoding="utf-8"))):
        wrong.append(f"{path.name}: {list(error.absolute_path)}: {error.message[:200]}")
        break
print("\n".join(wrong))
if wrong or not plans:
    sys.exit(f"{len(wrong)} of {len(plans)} plans do not follow the schema")
print(f"plans follow the schema: {len(plans)}")
