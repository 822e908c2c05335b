"""Make the README's picture from the real app: `python -m tests.screenshot`, then look at it.

Drives the demo workshop by keys, as a person would, and writes `.readme/measure.png`. Needs Chromium and a
monospaced font on the machine that makes it; nobody else does.
"""

from __future__ import annotations

import asyncio
import os
import subprocess
import tempfile
from pathlib import Path

from tests.tui.counter import Shown, keys, settle, write

PICTURE = Path(__file__).parent.parent / ".readme" / "measure.png"


async def picture(size: tuple[int, int] = (120, 40)) -> str:
    """The Measure screen with a ring measured, as SVG."""
    app = Shown(demo=True)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await write(pilot, "24.9")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.5")
        await settle(pilot)
        return app.export_screenshot()


def main() -> None:
    """Write the picture."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["KITWRIGHT_DATA"] = folder
        svg = asyncio.run(picture()).replace("Fira Code", "DejaVu Sans Mono")
        page = Path(folder) / "measure.svg"
        page.write_text(svg, encoding="utf-8")
        PICTURE.parent.mkdir(exist_ok=True)
        look = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--window-size=1480,1030"]
        subprocess.run([*look, f"--user-data-dir={folder}/c", f"--screenshot={PICTURE}", str(page)], check=True)


if __name__ == "__main__":
    main()
