"""Publishing the JSON Schema of a file."""

from __future__ import annotations

import json

from service.files.schema import json_schema


def schema_text(kind: str) -> str:
    """JSON Schema (2020-12) of the file ``kind``: wall, report, check, plan or panels."""
    return json.dumps(json_schema(kind), ensure_ascii=False, indent=2) + "\n"
