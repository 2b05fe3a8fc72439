"""A changed scenario as the file it was made from: its remarks, order and quotes stay where they were."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import Any

from anchorcalc.reading.document import Plain, read_document
from anchorcalc.reading.faults import printable
from anchorcalc.scenario.writer import flow, scenario_text

_FLOW_FROM = 2  # keys deep: what is new there stands in one line
_ENDLESS = 10_000  # columns: no line is broken


def rewritten(text: str, content: dict[str, Plain], remarks: Iterable[str] = ()) -> str:
    """`text` where it says `content` already, changed where it does not, `remarks` at its head.

    Reading it gives `content`; a file that cannot be kept so is written anew, without its comments.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    yaml = YAML()
    yaml.width, yaml.preserve_quotes = _ENDLESS, True
    yaml.indent(mapping=2, sequence=4, offset=2)
    changed = io.StringIO()
    try:
        node = yaml.load(text)
        _change(yaml, node, read_document(text).content, content, 1)
        yaml.dump(node, changed)
    except (YAMLError, ValueError, TypeError, LookupError):
        return scenario_text(content, remarks)
    kept = "".join(f"# {printable(line)}\n" for line in remarks) + changed.getvalue()
    return kept if read_document(kept).content == content else scenario_text(content, remarks)


def _change(yaml: Any, node: Any, was: Any, now: Any, depth: int) -> None:
    """Make `node`, which says `was`, say `now`; both are keys with values, or lists of one length."""
    places: dict[Any, Any] = {}
    if isinstance(now, dict):
        places = {str(key): key for key in node}
        for key in [key for key in was if key not in now]:
            del node[places[key]]
        before = was
    else:
        before = dict(enumerate(was))
    for key, value in now.items() if isinstance(now, dict) else enumerate(now):
        old = before.get(key)
        if value == old:
            continue
        place = places.get(key, key)
        if _alike(old, value):
            _change(yaml, node[place], old, value, depth + 1)
        else:
            node[place] = _new(yaml, value, depth)


def _alike(old: Plain, new: Plain) -> bool:
    """Whether one can be made the other part by part."""
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new)
    return isinstance(old, dict) and isinstance(new, dict)


def _new(yaml: Any, value: Plain, depth: int) -> Any:
    """A node for `value` as a person would write it at that depth."""
    if isinstance(value, dict) and depth <= _FLOW_FROM and any(isinstance(part, dict) for part in value.values()):
        from ruamel.yaml.comments import CommentedMap

        return CommentedMap({key: _new(yaml, part, depth + 1) for key, part in value.items()})
    return yaml.load(flow(value))
