"""Why a picture gives no reading, in one sentence with what to do."""

from __future__ import annotations


class PhotoError(ValueError):
    """The picture can't be read, or what it shows can't be measured. The message is for whoever took it."""
