"""A new operation is one declaration: command, help, JSON, key, palette, form, undo and their words come from it.

Played in a process of its own, as a newcomer would: `shelf dust` is added to the Shelf's declarations and nothing else
is touched.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

PLAY = """
import asyncio, contextlib, io, json, sys
from dataclasses import replace

import tui.operations.shelf as shelf

shelf.OPERATIONS = (
    *shelf.OPERATIONS,
    replace(
        shelf.SCRAP, name="dust", label="Dust", help="throw dusty stock away", about="", key="paper",
        examples=('shelf dust "Rags, lint-free" --quantity 1 --reason dusty',),
    ),
)

from tests.tui.counter import Shown, keys, settle, shown, write
from tui.cli import run


def said(*words):
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.suppress(SystemExit):
        run(words)
    return out.getvalue()


found = {}
found["help"] = said("shelf", "--help")
found["own help"] = said("shelf", "dust", "--help")
line = ["shelf", "dust", "Rags, lint-free", "--quantity", "1", "--reason", "dusty", "--demo"]
found["json"] = json.loads(said(*line, "--json"))
found["text"] = said(*line)
found["undo"] = said("undo", "--demo")


async def app():
    shop = Shown(demo=True)
    async with shop.run_test(size=(120, 40)) as pilot:
        await keys(pilot, "f5")
        await settle(pilot)
        await keys(pilot, "escape", "v")
        await settle(pilot)
        found["form"] = shown(pilot)
        await keys(pilot, "escape")
        await settle(pilot)
        await keys(pilot, "f1")
        await settle(pilot)
        await keys(pilot, "escape", "ctrl+p")
        await settle(pilot)
        await write(pilot, "dust")
        await settle(pilot)
        await asyncio.sleep(0.5)
        await settle(pilot)
        found["palette"] = shown(pilot)


asyncio.run(app())
sys.stdout.write(json.dumps(found))
"""


def test_a_new_operation_is_one_declaration(tmp_path: Path) -> None:
    ended = subprocess.run(
        [sys.executable, "-c", PLAY],
        env={"KITWRIGHT_DATA": str(tmp_path), "PATH": "", "COLUMNS": "80", "PYTHONPATH": str(Path.cwd())},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ended.returncode == 0, ended.stderr[-2000:]
    found = json.loads(ended.stdout)
    assert "dust" in found["help"]
    assert "throw dusty stock away" in found["help"]
    assert "kitwright shelf dust" in found["own help"]
    assert "--reason" in found["own help"]
    assert found["json"]["schema"] == "kitwright.booked/2"
    assert (found["json"]["done"], found["json"]["amount"]) == ("Scrapped", 1)
    assert "Scrapped" in found["text"]
    assert "dust" in found["form"].lower()
    assert "How much" in found["form"]
    assert "throw dusty stock away" in found["palette"].lower()
    assert "Undone" in found["undo"]
