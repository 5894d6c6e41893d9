"""The refusal as it is handed out: well-formed input that cannot be measured."""

from __future__ import annotations

import json

from vision.errors import Refusal


def refusal_text(refusal: Refusal) -> str:
    """The refusal as one JSON object with its stable code, what was found and what to do."""
    said = {"code": refusal.code, "text": refusal.text, "do": refusal.do}
    return json.dumps({"refused": said}, ensure_ascii=False, indent=2) + "\n"


__all__ = ["Refusal", "refusal_text"]
