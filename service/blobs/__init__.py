"""Where bytes are kept: photos as they came, pictures made from them, parts on their way."""

from service.blobs.protocol import Blobs, StoredBlob, Uploads

__all__ = ["Blobs", "StoredBlob", "Uploads"]
