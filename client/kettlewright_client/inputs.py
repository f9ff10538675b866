"""Every object that a request may hold, as a TypedDict: a type checker then finds misspelt keys in your own code too.

    from kettlewright_client.inputs import FatInput

    fat: FatInput = {"fat": "olive", "mass": 700}
"""

from __future__ import annotations

from kettlewright_client.generated import inputs as _generated
from kettlewright_client.generated.inputs import *  # noqa: F403  # all of them

__all__ = _generated.__all__
