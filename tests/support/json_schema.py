"""As much of JSON Schema (draft 2020-12) as this project's schemas use; anything else in a schema is an error, so that
no rule is passed over in silence."""

KNOWN = {"$schema", "$id", "$defs", "$ref", "title", "description", "type", "properties", "required", "additionalProperties",
         "items", "enum", "const", "oneOf", "minimum", "maximum", "maxLength", "minLength", "pattern", "maxItems", "minItems"}
TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}


def _is(value, name):
    if name == "number":
        return isinstance(value, (int, float)) and not isinstance(value, bool)
    if name == "integer":
        return isinstance(value, int) and not isinstance(value, bool)
    return isinstance(value, TYPES[name])


def problems(value, schema, root=None, place="$"):
    """What in `value` breaks the schema, a line each; empty when all is well."""
    root = schema if root is None else root
    unknown = set(schema) - KNOWN
    assert not unknown, f"{place}: the schema uses {sorted(unknown)}, which nothing here checks"
    if "$ref" in schema:
        assert schema["$ref"].startswith("#/$defs/"), schema["$ref"]
        return problems(value, root["$defs"][schema["$ref"][len("#/$defs/"):]], root, place)
    found = []
    if "const" in schema and value != schema["const"]:
        found.append(f"{place}: {value!r} instead of {schema['const']!r}")
    if "enum" in schema and value not in schema["enum"]:
        found.append(f"{place}: {value!r} is none of {schema['enum']}")
    if "type" in schema:
        names = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
        if not any(_is(value, name) for name in names):
            return found + [f"{place}: {value!r} is no {' or '.join(names)}"]
    if "minimum" in schema and _is(value, "number") and value < schema["minimum"]:
        found.append(f"{place}: {value} is below {schema['minimum']}")
    if "maximum" in schema and _is(value, "number") and value > schema["maximum"]:
        found.append(f"{place}: {value} is above {schema['maximum']}")
    if "oneOf" in schema:
        fits = [one for one in schema["oneOf"] if not problems(value, one, root, place)]
        if len(fits) != 1:
            found.append(f"{place}: fits {len(fits)} of the forms there are")
    if isinstance(value, dict):
        known = schema.get("properties", {})
        found += [f"{place}: {name} is missing" for name in schema.get("required", []) if name not in value]
        if schema.get("additionalProperties") is False:
            found += [f"{place}: {name} is not in the schema" for name in value if name not in known]
        for name, inner in known.items():
            if name in value:
                found += problems(value[name], inner, root, f"{place}.{name}")
    if isinstance(value, list) and "items" in schema:
        for index, one in enumerate(value):
            found += problems(one, schema["items"], root, f"{place}[{index}]")
    return found
