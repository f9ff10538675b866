"""python -m kettlewright_shelf."""

import sys

from kettlewright_shelf.command import main

sys.exit(main())
