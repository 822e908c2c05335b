"""Pictures of items, bins, machines and positions: taken in, shown, given out, taken back."""

from __future__ import annotations

import io
import os
import threading
from contextlib import suppress
from pathlib import Path

import pytest
from PIL import Image

from models import outside
from models.errors import InvalidInputError
from models.pictures import taking_in
from models.stored_picture import LONGEST_SIDE, MOST_BYTES
from tests.models.a_picture import as_file, drawn
from tests.tui.command_line import CommandLine

ITEM = ("--item", "Rags, lint-free")
ORIENTATION, MADE_BY, WHERE = 0x0112, 0x010F, 0x8825


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def photograph(size: tuple[int, int] = (4000, 3000)) -> bytes:
    """A JPEG as a telephone that was held upright writes it: lying, with its maker and the place beside it."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MADE_BY] = 6, "nobody"
    exif.get_ifd(WHERE)[1] = "N"
    return as_file(drawn(size), exif=exif)


def test_what_is_kept_is_small_upright_and_has_nothing_of_the_camera() -> None:
    kept = taking_in.taken(photograph())
    assert (kept.width, kept.height) == (LONGEST_SIDE * 3 // 4, LONGEST_SIDE)
    assert len(kept.jpeg) <= MOST_BYTES
    with Image.open(io.BytesIO(kept.jpeg)) as opened:
        assert (opened.format, opened.mode, dict(opened.getexif())) == ("JPEG", "RGB", {})
        # Turned to the right: what stood at the upper left stands at the upper right.
        assert opened.getpixel((kept.width * 3 // 4, kept.height // 4)) != opened.getpixel((9, 9))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L", "RGBA"])
def test_each_kind_of_file_is_taken(form: str, mode: str) -> None:
    if (form, mode) == ("JPEG", "RGBA"):
        mode = "CMYK"
    kept = taking_in.taken(as_file(drawn((64, 48), mode=mode), form))
    assert (kept.width, kept.height) == (64, 48)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "not a picture"),
        (b"GIF89a" + bytes(99), "not a picture"),
        (bytes(4) + b"ftypheic" + bytes(99), "HEIC"),
        (photograph((200, 100))[:900], "broken"),
        (b"\xff\xd8\xff" + bytes(taking_in.MOST_IN), "larger than 8 MB"),
        (as_file(Image.new("L", (5000, 5000)), "PNG"), "more than 24 million"),
        (as_file(Image.new("1", (30_000, 30_000)), "PNG"), "more than 24 million"),
        (as_file(Image.new("1", (10_000, 10_000)), "PNG"), "more than 24 million"),
        (as_file(drawn((15, 400))), "only 15 × 400"),
    ],
)
def test_what_is_no_picture_or_too_much_is_refused_in_words(data: bytes, said: str) -> None:
    with pytest.raises(InvalidInputError, match=said) as refused:
        taking_in.taken(data)
    assert str(refused.value).rstrip().endswith(".")


def test_it_is_added_shown_given_out_and_taken_back(kitwright: CommandLine, tmp_path: Path) -> None:
    file, out = tmp_path / "rags.jpg", tmp_path / "out.jpg"
    file.write_bytes(photograph())
    assert kitwright("picture", "show", *ITEM, "--demo").code == 1
    added = kitwright("picture", "add", str(file), *ITEM, "--demo", "--json").json["picture"]
    assert (added["width"], added["height"]) == (960, 1280)
    shown = kitwright("picture", "show", *ITEM, "--demo")
    assert shown.code == 0
    assert len(shown.out.splitlines()) > 10
    assert kitwright("picture", "export", str(out), *ITEM, "--demo").code == 0
    with Image.open(out) as opened:
        assert opened.size == (960, 1280)
    # Another in its place, and back; removed, and back.
    file.write_bytes(as_file(drawn((50, 40))))
    assert kitwright("picture", "add", str(file), *ITEM, "--demo", "--json").json["picture"]["width"] == 50
    assert kitwright("undo", "--demo").code == 0
    assert kitwright("picture", "show", *ITEM, "--demo", "--json").json["picture"]["width"] == 960
    assert kitwright("picture", "remove", *ITEM, "--demo").code == 0
    assert kitwright("picture", "show", *ITEM, "--demo").code == 1
    assert kitwright("undo", "--demo").code == 0
    assert kitwright("picture", "show", *ITEM, "--demo", "--json").json["picture"]["width"] == 960
    assert kitwright("check", "--demo").code == 0


def test_what_is_called_otherwise_or_comes_through_a_pipe_is_taken_by_what_it_is(
    kitwright: CommandLine, tmp_path: Path
) -> None:
    flat = as_file(Image.new("RGB", (2000, 900), "navy"), "BMP")  # 5 MB with no end of a line in it
    data = as_file(drawn((60, 45)), "PNG")
    (tmp_path / "rags.txt").write_bytes(data)
    assert kitwright("picture", "add", str(tmp_path / "rags.txt"), *ITEM, "--demo").code == 0
    for came, code, says in ((data, 0, "60 × 45"), (flat, 2, "not a picture that can be read")):
        pipe = tmp_path / "pipe"
        os.mkfifo(pipe)
        threading.Thread(target=pipe.write_bytes, args=(came,), daemon=True).start()
        ended = kitwright("picture", "add", str(pipe), "--bin", "Box 2", "--demo")
        assert (ended.code, says in ended.out + ended.err) == (code, True), ended
        pipe.unlink()


def test_of_a_pipe_that_never_ends_no_more_is_taken_than_a_picture_may_have(
    kitwright: CommandLine, tmp_path: Path
) -> None:
    pipe, written = tmp_path / "pipe", [0]
    os.mkfifo(pipe)

    def pour() -> None:
        with suppress(OSError), pipe.open("wb", buffering=0) as stream:
            while True:
                written[0] += stream.write(b"\xff\xd8\xff" * 20_000) or 0

    threading.Thread(target=pour, daemon=True).start()
    ended = kitwright("picture", "add", str(pipe), *ITEM, "--demo")
    assert (ended.code, "More than 8 MB came through the pipe" in ended.err) == (2, True)
    # What waits to be read lies in our queue of eight parts and in the system's buffer.
    assert taking_in.MOST_IN < written[0] < taking_in.MOST_IN + 12 * outside.CHUNK


def test_what_is_no_file_is_refused(kitwright: CommandLine, tmp_path: Path) -> None:
    for name in (str(tmp_path), str(tmp_path / "none.jpg"), os.devnull):
        ended = kitwright("picture", "add", name, *ITEM, "--demo")
        assert (ended.code, "Traceback" in ended.err) == (2, False), name


def test_without_pillow_it_is_said_what_to_install(kitwright: CommandLine, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(taking_in, "find_spec", lambda name: None)
    ended = kitwright("picture", "add", "rags.jpg", *ITEM, "--demo")
    assert ended.code != 0
    assert "extra “pictures”" in ended.err
