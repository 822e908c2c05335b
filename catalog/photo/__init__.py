from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.photo import camera as camera
    from catalog.photo import edges as edges
    from catalog.photo import file as file
    from catalog.photo import fit as fit
    from catalog.photo import jpeg_parts as jpeg_parts
    from catalog.photo import marks as marks
    from catalog.photo import measure as measure
    from catalog.photo import refusal as refusal
    from catalog.photo import sheet as sheet
    from catalog.photo import torus as torus
else:
    from catalog.door import door

    __getattr__ = door(__name__)
