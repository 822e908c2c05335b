"""What fitted where: the records, what a job leaves to note, questions about them, sharing them with another shop."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.fits import fit_csv as fit_csv
    from models.fits import fit_import as fit_import
    from models.fits import fit_question as fit_question
    from models.fits import fit_records as fit_records
    from models.fits import fitted as fitted
    from models.fits import how_it_went as how_it_went
    from models.fits import readings as readings
    from models.fits import written as written
else:
    from catalog.door import door

    __getattr__ = door(__name__)
