"""What a tap may have meant: candidates for a person to accept, or the raw tap."""

from vision.plane.snap.offer import offer_snaps
from vision.plane.snap.plate import FoundPlate, find_plates, offer_plates
from vision.plane.snap.snapped import Doubt, Snap, SnapKind, SnapOffer
from vision.plane.snap.trace import EdgeTrace, trace_edge

__all__ = [
    "Doubt",
    "EdgeTrace",
    "FoundPlate",
    "Snap",
    "SnapKind",
    "SnapOffer",
    "find_plates",
    "offer_plates",
    "offer_snaps",
    "trace_edge",
]
