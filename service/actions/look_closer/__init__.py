"""Questions about one photo while a person works on it, answered in a process of their own."""

from service.actions.look_closer.asking import PhotoAsker, PointAsked
from service.actions.look_closer.child import answer_in_child

__all__ = ["PhotoAsker", "PointAsked", "answer_in_child"]
