"""Which sizes are taped without knowing what is expected."""

from __future__ import annotations

import pytest

from service.measuring.blind import is_blind


@pytest.mark.parametrize(
    ("status", "taken", "accused", "let_stand", "blind"),
    [
        ("photo only", 0, False, False, True),
        ("tape only", 1, False, False, False),
        ("agrees", 1, False, False, False),
        ("agrees", 1, True, False, True),
        ("unsure", 1, False, False, True),
        ("conflicts", 1, True, False, True),
        ("conflicts", 2, True, False, False),
        ("conflicts", 1, True, True, False),
        ("photo only", 0, False, True, True),
    ],
)
def test_a_size_is_blind_until_it_is_taped_and_out_of_doubt(
    status: str, taken: int, accused: bool, let_stand: bool, blind: bool
) -> None:
    """Untaped, or its one reading in doubt: until it is taken again, or somebody lets it stand."""
    assert is_blind(status, taken, accused=accused, let_stand=let_stand) is blind
