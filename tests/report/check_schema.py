#!/usr/bin/env python3
"""Holds a JSON document against a schema: check_schema.py SCHEMA.json DOCUMENT.json

The document must pass; it must also fail once any key the schema requires is taken away or made
an object it should not be, or the schema says nothing. Prints faults; exits 1 on any, 77 when the
jsonschema package is missing.
"""

import json
import sys

try:
    import jsonschema
except ImportError:
    sys.exit(77)


def refuse_constant(name):
    raise ValueError(f"{name} is not JSON")


with open(sys.argv[1]) as file:
    schema = json.load(file)
with open(sys.argv[2], encoding="utf-8") as file:
    document = json.load(file, parse_constant=refuse_constant)
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
faults = [f"{'/'.join(map(str, e.path))}: {e.message[:200]}" for e in validator.iter_errors(document)]
for key in schema["required"]:
    without = {k: v for k, v in document.items() if k != key}
    if validator.is_valid(without) or validator.is_valid({**document, key: {"unexpected": []}}):
        faults.append(f"the schema lets '{key}' be anything")
unknown = [key for key in document if key not in schema["properties"]]
if unknown:
    faults.append(f"keys the schema does not describe: {', '.join(unknown)}")
print("\n".join(faults))
sys.exit(1 if faults else 0)
