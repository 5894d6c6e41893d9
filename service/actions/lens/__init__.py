"""Lens profiles: made from photos of a card, by the command and in the service."""

from service.actions.lens.made import lens_files
from service.actions.lens.stored import (
    add_card_photo,
    delete_card_photo,
    keep_profile,
    make_stored_profile,
    profile_text,
    show_lenses,
)

__all__ = [
    "add_card_photo",
    "delete_card_photo",
    "keep_profile",
    "lens_files",
    "make_stored_profile",
    "profile_text",
    "show_lenses",
]
