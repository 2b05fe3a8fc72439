"""What a model allows at each place, read from its JSON Schema."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from pydantic import BaseModel

from anchorcalc.reading.faults import Path

_KEY_ITSELF = "[key]"  # pydantic's last step for a fault in a key rather than in its value


class Shape:
    """A place in a model, with what may stand there."""

    def __init__(self, schema: dict[str, Any], definitions: dict[str, Any]) -> None:
        self._definitions = definitions
        self._schema = self._resolved(schema)
        self._lists = [way for way in schema.get("anyOf", ()) if way.get("type") == "array"]
        self.description: str | None = schema.get("description")

    def _resolved(self, schema: dict[str, Any]) -> dict[str, Any]:
        if "$ref" in schema:
            return self._resolved(self._definitions[schema["$ref"].rpartition("/")[2]])
        if "anyOf" in schema:  # a value or nothing: the value counts
            values = [way for way in schema["anyOf"] if way.get("type") != "null"]
            values = values if len(values) == 1 else [way for way in values if "$ref" in way]  # or a part with keys
            return self._resolved(values[0]) if len(values) == 1 else {}
        return schema

    @property
    def keys(self) -> tuple[str, ...]:
        """Names of the keys; none where the user makes the names."""
        return tuple(self._schema.get("properties", ()))

    @property
    def required(self) -> tuple[str, ...]:
        """Names of the keys that may not be left out."""
        return tuple(self._schema.get("required", ()))

    @property
    def selector(self) -> str | None:
        """The key whose value decides which other keys are allowed."""
        name = self._schema.get("discriminator", {}).get("propertyName")
        return None if name is None else str(name)

    @property
    def choices(self) -> tuple[str, ...]:
        """Words that are allowed, for this value or for its selector."""
        if "discriminator" in self._schema:
            return tuple(self._schema["discriminator"]["mapping"])
        if "const" in self._schema:
            return (str(self._schema["const"]),)
        return tuple(map(str, self._schema.get("enum", ())))

    @property
    def is_single(self) -> bool:
        """Whether one text says it: a number, a word or a name."""
        return self._schema.get("type") not in ("array", "object")

    @property
    def is_flat(self) -> bool:
        """Whether it is single, or a list of what is."""
        short = any(Shape(way, self._definitions).is_flat for way in self._lists)  # which a part may be given as too
        return short or self.is_single or (self._schema.get("type") == "array" and self.child(0).is_single)

    @property
    def names_are_free(self) -> bool:
        """Whether the user makes the names of what it holds."""
        return isinstance(self._schema.get("additionalProperties"), dict)

    @property
    def is_list(self) -> bool:
        """Whether it holds as many as the user likes, one after the other."""
        return self._schema.get("type") == "array" and "prefixItems" not in self._schema

    @property
    def fixed_length(self) -> int | None:
        """Length of a list that has a fixed one."""
        prefix = self._schema.get("prefixItems")
        return None if prefix is None else len(prefix)

    def child(self, step: str | int) -> Shape:
        """The place one step further; a place without rules where the model knows none."""
        if isinstance(step, int):
            prefix = self._schema.get("prefixItems", [])
            found = prefix[step] if step < len(prefix) else self._schema.get("items")
        else:
            properties = self._schema.get("properties", {})
            found = properties[step] if step in properties else self._schema.get("additionalProperties")
        return Shape(found if isinstance(found, dict) else {}, self._definitions)

    def locate(self, steps: Sequence[str | int]) -> Located:
        """The place that pydantic's location `steps` means."""
        shape, holder = self, self
        path: list[str | int] = []
        for step in steps:
            if step == _KEY_ITSELF:
                continue
            chosen = shape._schema.get("discriminator", {}).get("mapping", {}).get(step)
            if chosen is not None:  # pydantic names the branch it took; the file has no such step
                shape = Shape({"$ref": chosen}, self._definitions)
                continue
            holder, shape = shape, shape.child(step)
            path.append(step)
        return Located(tuple(path), shape, holder)


class Located(NamedTuple):
    """A place in a file: the way to it, what may stand there, and the shape of what holds it."""

    path: Path
    shape: Shape
    holder: Shape


@cache
def shape_of(model: type[BaseModel]) -> Shape:
    """Shape of a whole file of `model`."""
    schema = model.model_json_schema()
    return Shape(schema, schema.get("$defs", {}))
