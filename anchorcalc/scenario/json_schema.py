"""The scenario's model as JSON Schema for editors: every key, what it takes, and the rows it may name.

An editor reads ``80`` and ``"80"`` as different things where the reader of scenarios takes both as the text;
the schema lets both through. It says less than the reader: ranges and what belongs together are the reader's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from anchorcalc.scenario.model import Scenario

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_EXAMPLES: Final[dict[str, list[str]]] = {
    "length": ["3/4 in", "18 mm"],
    "force": ["3333 lbf", "15 kN"],
    "weight": ["1650 lb", "750 kg"],
    "angle": ["45 deg"],
}


def scenario_schema(catalog: Catalog) -> dict[str, Any]:
    """JSON Schema of a scenario; keys that name rows carry the names in `catalog` as examples."""
    schema: dict[str, Any] = _for_editors(Scenario.model_json_schema())
    for definition, key, names in _rows(catalog):
        holder = schema["$defs"][definition] if definition else schema
        holder["properties"][key]["examples"] = names
    return {"$schema": _DIALECT, **schema}


def _rows(catalog: Catalog) -> list[tuple[str, str, list[str]]]:
    """Definition ('' for the scenario itself), key, and the names of the rows it may hold."""
    steels = list(catalog.steels)
    return [
        ("", "rules", list(catalog.rule_sets)),
        ("Layer", "panel", list(catalog.panels)),
        ("Layer", "condition", list(catalog.conditions)),
        ("CrossMembers", "section", list(catalog.members)),
        ("HoldDown", "screw", list(catalog.screws)),
        ("Fasteners", "size", [*catalog.threads, *dict.fromkeys(row.size for row in catalog.screws.values())]),
        ("Fasteners", "grade", list(catalog.bolt_grades)),
        ("Strap", "grade", list(dict.fromkeys(row.grade for row in catalog.straps.values()))),
        *((part, "steel", steels) for part in ("CrossMembers", "WasherSize", "Washers", "Plate", "Bridge")),
    ]


def _for_editors(node: Any) -> Any:
    if isinstance(node, list):
        return [_for_editors(part) for part in node]
    if not isinstance(node, dict):
        return node
    node = {key: _for_editors(part) for key, part in node.items() if not (key == "default" and part is None)}
    if "anyOf" in node:  # a key that is not known is left out, never empty
        values = [way for way in node.pop("anyOf") if way != {"type": "null"}]
        node = {**values[0], **node} if len(values) == 1 else {**node, "anyOf": values}
    words = node.get("enum")
    if words == ["yes", "no"]:  # which an editor may take for truth values
        return {**node, "enum": [*words, True, False], "type": ["string", "boolean"]}
    if words and all(isinstance(word, str) and word.isdigit() for word in words):
        return {**node, "enum": [*words, *map(int, words)], "type": ["string", "integer"]}
    if node.get("type") == "integer":  # limits by the names that JSON Schema has for them
        limits = {new: node.pop(old) for old, new in (("ge", "minimum"), ("le", "maximum")) if old in node}
        return {**node, **limits, "type": ["string", "integer"], "pattern": "^[0-9]{1,3}$"}
    if node.get("type") == "string" and "enum" not in node and "const" not in node:
        examples = _EXAMPLES.get(node.pop("format", ""), node.get("examples"))
        return {**node, "examples": examples} if examples else {**node, "type": ["string", "number"]}
    return node
