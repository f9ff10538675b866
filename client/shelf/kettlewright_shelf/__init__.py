"""A shelf of your own: plans, batches, weighings, records and lots in one SQLite file. The service stores nothing.

    from kettlewright_client import Client
    from kettlewright_shelf import Shelf

    with Client() as client, Shelf("workshop.db") as shelf:
        shelf.add_lot("olive", "O-7", 5000, received="2027-01-04", best_before="2028-06-30")
        number = shelf.add_plan(body, client)
        for use in shelf.recall("O-7"):
            print(use.number, use.bars_count)
"""

from kettlewright_shelf.errors import Locked, ShelfError
from kettlewright_shelf.shelf import Shelf
from kettlewright_shelf.stock import LotLeft, Use

__version__ = "0.2.0"

__all__ = ["Locked", "LotLeft", "Shelf", "ShelfError", "Use"]
