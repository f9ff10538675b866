"""Request of /v1/portions."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Length, Mass, Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.links import Key
from kettlewright.api.parts.additions import AdditionInput, ResidueInput, addition_key
from kettlewright.api.parts.envelope import Request
from kettlewright.api.parts.moulds import MOULD_EXAMPLE, MouldInput
from kettlewright.api.parts.scales import ScaleSteps
from kettlewright.pour import ARRANGEMENTS, Batter, Borrowing, Dusting, Portion

__all__ = ["BUCKET_KEYS", "PortionInput", "PortionsRequest"]

_COLOUR, _LIKE_COLOUR = r"#[0-9A-Fa-f]{6}", 'a colour such as "#7d2f22"'


class DustingInput(Strict):
    """Powder sifted on top of a layer."""

    builds = Dusting

    name = Text(required=True, about="The powder", example="kaolin")
    coverage = Number(required=True, bounds=limits.COVERAGE, about="How much of it", unit="g/m2", example=60)
    colour = Text(pattern=_COLOUR, like=_LIKE_COLOUR, about="For the picture", example="#ffffff")


class BorrowingInput(Strict):
    """Batter taken out of another bucket once that is mixed, its additions with it."""

    builds = Borrowing

    lender = Text(data_key="from", required=True, about="Name or key of the other portion", example="deep red")
    share_pct = Number(required=True, bounds=limits.BORROWED_PCT, about="Of this bucket's batter, without its own "
                       "additions", unit="%", example=40)


class PortionInput(Strict):
    """One bucket; all portions by share, all by mass, or all by the depth of their layers."""

    exactly_one = (("share_pct", "mass", "layer_depth"),)

    builds = Portion

    name = Text(required=True, about="Your name for it", example="deep red")
    share_pct = Number(bounds=limits.SHARE_PCT, about="Of the pot less its residue", unit="%", example=30)
    mass_g = Mass(bounds=limits.MASS, about="The full bucket, its own additions included", example=1640)
    layer_depth_mm = Length(bounds=limits.LENGTH, about="How thick its layer is in the mould; then the batch is as "
                            "large as its layers", example=12)
    additions = ListOf(Part(AdditionInput), at_most=limits.ADDITIONS_MAX, about="Stirred into this bucket; at "
                       f"most {limits.ADDITIONS_PER_BATCH_MAX} in pot and buckets together")
    borrows = ListOf(Part(BorrowingInput), at_most=10, about="Batter taken from other buckets. Shares, masses and "
                     "depths are what you pour of a portion: a bucket that lends makes more; one that borrows takes "
                     "less from the pot, and its doses refer to that. At most "
                     f"{limits.BORROWINGS_PER_BATCH_MAX} in the batch")
    dusting = Part(DustingInput, about="Powder sifted on top of this layer")
    colour = Text(pattern=_COLOUR, like=_LIKE_COLOUR, about="For the picture",
                  example="#7d2f22")


class BatterInput(Strict):
    """The batter before any addition."""

    builds = Batter

    mass_g = Mass(required=True, bounds=limits.MASS, about="All of it", example=5335)
    density = Number(required=True, bounds=limits.ADDITION_DENSITY, about="Of the batter", unit="g/mL", example=1.0)
    fats_mass_g = Mass(bounds=limits.MASS, about="Fats in it; a dose on fats needs it", example=3747)


class PortionsRequest(Request):
    """A batter to share out."""

    batter = Part(BatterInput, required=True, about="The batter before any addition")
    portions = ListOf(Part(PortionInput), required=True, at_least=1, at_most=limits.PORTIONS_MAX, about="Buckets, in "
                      "pour order from the bottom")
    additions = ListOf(Part(AdditionInput), at_most=limits.ADDITIONS_MAX, about="The batch's own, into the pot")
    residue = Part(ResidueInput, about="What stays behind")
    mould = MouldInput(about="Where it goes; layers and powders need it")
    arrangement = Choice(ARRANGEMENTS, about="How the portions lie: flat layers (if not given); columns "
                         "between upright dividers; mingled: swirled, masses but no heights; separate: one per cavity")
    scale = Part(ScaleSteps, about="Steps of the scales")
    expected_loss_pct = Number(bounds=limits.LOSS_PCT, about="Loss in cure, as a share of the mass of a whole piece as "
                               "cut, additions included; a limit needs it", unit="%", example=11)


BUCKET_KEYS = (
    Key(name="portion", into=("portions",), many=True, head="name", example="red,share:100", about="A bucket, in pour "
        "order from the bottom"),
    addition_key("portion", "additions"),
    Key(name="dusting", into=(), many=True, head="name", within=("portion", "dusting"), about="Powder on top of the "
        "layer of the portion named by to", example="kaolin,to:red,coverage:60"),
    Key(name="borrow", into=(), many=True, head="from", within=("portion", "borrows"), about="Batter out of another "
        "bucket, for the portion named by to", example="red,to:plain,share:40"),
    Key(name="residue", into=("residue",), example="pot:15,portion:4", about="What stays behind"),
    Key(name="mould", into=("mould",), head="shape", example=MOULD_EXAMPLE, about="Where it goes"))
