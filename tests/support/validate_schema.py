"""Asks a validator that is not ours: validate_schema.py SCHEMA FILE... prints a line "valid FILE" or
"invalid FILE: why" each. Exit 1 when the schema itself is no legal schema of draft 2020-12.

YAML is read as editors read it, by the core schema of YAML 1.2: `on` and `off` are texts, 0x55 is a number."""
import json
import re
import sys

import jsonschema
import yaml


class CoreLoader(yaml.SafeLoader):
    yaml_implicit_resolvers = {}


def resolve(tag, pattern, first):
    CoreLoader.add_implicit_resolver("tag:yaml.org,2002:" + tag, re.compile(pattern), first)


resolve("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", list("tTfF"))
resolve("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""])
resolve("int", r"^(?:[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+)$", list("-+0123456789"))
resolve("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", list("-+.0123456789"))
CoreLoader.add_constructor(
    "tag:yaml.org,2002:int", lambda loader, node: int(node.value, 0 if node.value[:2] in ("0x", "0o") else 10))

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
for name in sys.argv[2:]:
    with open(name, encoding="utf-8") as file:
        error = next(validator.iter_errors(yaml.load(file, CoreLoader)), None)
    print(f"valid {name}" if error is None else f"invalid {name}: {error.message}")
