"""A picture's file: what is not a picture, broken or would unpack to too much is refused before it is unpacked."""

from __future__ import annotations

import contextlib
import struct
import zlib

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.photo.file import MOST_BYTES, opened
from catalog.photo.refusal import PhotoError

PICTURE = np.full((1000, 1200), 200, np.uint8)
JPEG = bytes(cv2.imencode(".jpg", PICTURE)[1])
PNG = bytes(cv2.imencode(".png", PICTURE)[1])


def with_exif(focal: int, wide: int = 0, high: int = 0, order: str = "<") -> bytes:
    """The JPEG with an EXIF part."""
    tags = [(0xA002, wide), (0xA003, high), (0xA405, focal)]
    sub = struct.pack(order + "H", len(tags)) + b"".join(
        struct.pack(order + "HHII", tag, 4, 1, value) for tag, value in tags
    )
    first = struct.pack(order + "HHHIII", 1, 0x8769, 4, 1, 26, 0)
    start = (b"II" if order == "<" else b"MM") + struct.pack(order + "HI", 42, 8)
    part = b"Exif\0\0" + start + first + sub
    return JPEG[:2] + b"\xff\xe1" + struct.pack(">H", len(part) + 2) + part + JPEG[2:]


def test_jpeg_and_png_are_read_grey() -> None:
    for data in (JPEG, PNG):
        found = opened(data)
        assert found.picture.shape == PICTURE.shape
        assert abs(int(found.picture.mean()) - 200) <= 1
        assert found.focal_as_film is None


@pytest.mark.parametrize("order", ["<", ">"])
def test_the_focal_length_is_read(order: str) -> None:
    assert opened(with_exif(26, order=order)).focal_as_film == 26
    assert opened(with_exif(26, 1200, 1000, order)).focal_as_film == 26
    assert opened(with_exif(26, 2400, 2000, order)).focal_as_film == 26  # made smaller, whole


def test_the_focal_length_of_a_cut_picture_or_a_silly_one_is_not_taken() -> None:
    assert opened(with_exif(26, 4000, 2000)).focal_as_film is None
    assert opened(with_exif(0)).focal_as_film is None
    assert opened(with_exif(4000)).focal_as_film is None


def bomb(wide: int, high: int) -> bytes:
    """A PNG that says it is so large."""
    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    chunk = b"IHDR" + head
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk)) + b"\0" * 40


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "not a JPEG or PNG"),
        (b"GIF89a" + b"\0" * 50, "not a JPEG or PNG"),
        (b"%PDF-1.7 " + b"\0" * 50, "not a JPEG or PNG"),
        (b"\0\0\0\x18ftypheic" + b"\0" * 50, "HEIC"),
        (bomb(60_000, 60_000), "60000 x 60000 px"),
        (bomb(25_000, 100), "25000 x 100 px"),
        (bomb(640, 480), "only 640 x 480 px"),
        (bomb(1200, 1000), "broken"),
        (JPEG[:300], "broken"),
        (JPEG[:2] + b"\xff\xe1\x00\x01" + JPEG[2:], "broken"),
        (b"\xff\xd8" + b"\xff" * 100, "broken"),
        (b"\xff\xd8" + b"\0" * (MOST_BYTES + 1), "larger than 40 MB"),
    ],
)
def test_what_is_no_picture_is_refused_in_one_sentence(data: bytes, why: str) -> None:
    with pytest.raises(PhotoError, match=why) as refused:
        opened(data)
    assert "\n" not in str(refused.value)


@settings(max_examples=25, deadline=None)
@given(st.binary(max_size=400), st.integers(0, 60), st.sampled_from([JPEG[:700], PNG[:200], with_exif(26)[:700]]))
def test_any_bytes_are_read_or_refused(noise: bytes, at: int, start: bytes) -> None:
    data = start[:at] + noise + start[at + len(noise) :]
    with contextlib.suppress(PhotoError):
        opened(data)
