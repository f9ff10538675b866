"""python -m kettlewright_client"""

import sys

from kettlewright_client.command import main

if __name__ == "__main__":
    sys.exit(main())
