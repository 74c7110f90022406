"""Changes to a spec's text that keep its comments, its order and everything not changed."""

from __future__ import annotations

import io
from collections.abc import Mapping

from ruamel.yaml import YAML

from framekit.errors import Fault, SpecError
from framekit.spec.yaml_text import read_yaml


def set_values(text: str, changes: Mapping[str, object]) -> str:
    """The YAML text with values set by dotted path, comments kept.

    Sections that are missing are made at the end. Raises SpecError when the text is not YAML or
    a path runs through something that is not a mapping.

    >>> set_values("sheet:\\n  thickness: 3     # caliper\\n", {"sheet.thickness": 3.05})
    'sheet:\\n  thickness: 3.05  # caliper\\n'
    """
    read_yaml(text, None)
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.allow_unicode = True
    yaml.indent(mapping=2, sequence=4, offset=2)
    data = yaml.load(text)
    for path, value in changes.items():
        *above, last = path.split(".")
        place = data
        for key in above:
            if key not in place:
                place[key] = {}
            place = place[key]
            if not hasattr(place, "keys"):
                raise SpecError(
                    Fault(
                        "spec-path",
                        f"'{key}' in '{path}' is not a mapping",
                        hint="Name a key below a mapping.",
                    )
                )
        place[last] = value
    out = io.StringIO()
    yaml.dump(data, out)
    return out.getvalue()
