"""Looking at a photo: in a process of its own with limits, its result written once."""

from service.actions.look_at_photo.child import look_in_child
from service.actions.look_at_photo.result import PICTURES, crashed, note_look

__all__ = ["PICTURES", "crashed", "look_in_child", "note_look"]
