"""The files that the examples of the help pages read, written where a test stands."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from tests.models.a_picture import as_file, drawn

FILES: Final = {
    "prices.csv": "number;name;price;pack\nHX-1;ORING 24,99X3,53 N70;0,45;100\n",
    "bought.csv": "designation,id_mm,id_tol_mm,cross_section_mm,cross_section_tol_mm\nP22A,21.7,0.24,3.5,0.1\n",
    "ports.csv": "thread,seal,ring_id_mm,ring_id_tol_mm,ring_section_mm,ring_section_tol_mm\n"
    "M14x1.5,chamfer,11.3,0.2,2.2,0.08\n",
    "grooves.csv": "use,section_mm,depth_min_mm,depth_max_mm,width_min_mm,width_max_mm\nradial,4.1,3.4,3.5,5.5,5.7\n",
    "box.csv": "item;count\nAS568-116 NBR 70;12\nP22A NBR 70;8\n",
}


def write_files(folder: Path) -> None:
    """Write all of them into this folder."""
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    for name in ("rags.jpg", "flange.jpg"):
        (folder / name).write_bytes(as_file(drawn()))
