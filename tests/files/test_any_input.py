"""Whatever stands in a file, the answer is a checked model or one line; nothing else escapes."""

from __future__ import annotations

import copy
import json
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from service.errors import FileError
from service.files.loading import load_model
from service.files.schema import MODELS, json_schema
from tests.files.contract_examples import PLAN, REPORT
from tests.files.test_wall_rules import GOOD

LEAVES = (
    st.none()
    | st.booleans()
    | st.integers(-(10**30), 10**30)
    | st.floats(allow_nan=False)
    | st.text(max_size=12)
    | st.sampled_from(["59 7/8", "p", "a.jpg", "wide", "in", "-1", "back"])
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
VALIDATORS = {kind: Draft202012Validator(json_schema(kind)) for kind in MODELS}
WHOLE = {"wall": GOOD, "report": json.loads(REPORT), "plan": json.loads(PLAN)}


def places(value: Any, path: tuple[int | str, ...] = ()) -> list[tuple[int | str, ...]]:
    """The path of every value inside a JSON value."""
    if isinstance(value, dict):
        below = [place for key, child in value.items() for place in places(child, (*path, key))]
    elif isinstance(value, list):
        below = [place for i, child in enumerate(value) for place in places(child, (*path, i))]
    else:
        below = []
    return [path, *below]


def replaced(value: Any, path: tuple[int | str, ...], new: Any) -> Any:
    if not path:
        return new
    result = copy.deepcopy(value)
    inner = result
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = new
    return result


def judge(text: bytes, model: type[BaseModel]) -> str | None:
    """The one line with which the text is refused, None if it is taken."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.json"
        path.write_bytes(text)
        try:
            load_model(path, model)
        except FileError as error:
            return str(error)
        return None


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_one_wrong_value(data: st.DataObject) -> None:
    """Any value in place of any other in a good file is refused in one line, or taken; what is
    taken is right by the published schema too."""
    kind = data.draw(st.sampled_from(sorted(WHOLE)))
    path = data.draw(st.sampled_from(places(WHOLE[kind])))
    value = replaced(WHOLE[kind], path, data.draw(VALUES))

    line = judge(json.dumps(value).encode(), MODELS[kind])

    if line is None:
        assert list(VALIDATORS[kind].iter_errors(value)) == []
    else:
        assert "\n" not in line
        assert "a.json: " in line


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=60), st.integers(0, 300))
@example(b"\x00", 0)
@example(b'"', 5)
def test_one_wrong_stretch(stretch: bytes, start: int) -> None:
    """Any bytes written into a good file leave one that is taken or refused in one line."""
    text = json.dumps(GOOD).encode()

    line = judge(text[:start] + stretch + text[start + len(stretch) :], MODELS["wall"])

    assert line is None or "\n" not in line


@pytest.mark.parametrize("kind", ["wall", "plan", "report"])
def test_every_required_key_is_missed(kind: str) -> None:
    """Taking any one key away gives the same file less an option, or a line that names the key."""
    for path in places(WHOLE[kind]):
        if not path or not isinstance(path[-1], str):
            continue
        value = copy.deepcopy(WHOLE[kind])
        inner: Any = value
        for part in path[:-1]:
            inner = inner[part]
        del inner[path[-1]]

        line = judge(json.dumps(value).encode(), MODELS[kind])

        assert line is None or "is missing" in line or "expected" in line, (path, line)
