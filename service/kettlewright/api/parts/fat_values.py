"""What is known of a fat that is not in the table: a range, a certificate, or its fatty acids."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Number, Text
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.ranges import Range
from kettlewright.recipe import Certificate, Profile
from kettlewright.recipe.certificates import check_value, fatty_acid

__all__ = ["CertificateInput", "ProfileInput", "SaponificationRange"]


class SaponificationRange(Strict):
    """What a fat takes of pure potassium hydroxide."""

    builds = Range

    min = Number(required=True, bounds=limits.SAPONIFICATION_VALUE, check=check_value, about="Lower end",
                 unit="mg KOH per g of fat", example=178)
    max = Number(required=True, bounds=limits.SAPONIFICATION_VALUE, check=check_value, about="Upper end",
                 unit="mg KOH per g of fat", example=182)


class CertificateInput(Strict):
    """What the certificate of a lot states."""

    builds = Certificate

    value = Number(required=True, bounds=limits.SAPONIFICATION_VALUE, check=check_value, about="Saponification value",
                   unit="mg KOH per g of fat", example=191.2)
    tolerance = Number(bounds=limits.VALUE_TOLERANCE, about="Tolerance either way; default 1",
                       unit="mg KOH per g of fat", example=1)
    acid_value = Number(bounds=limits.ACID_VALUE, about="Free fatty acids, included in the value; default 0",
                        unit="mg KOH per g of fat", example=0.4)
    date = Text(about="Day of the certificate, as YYYY-MM-DD", example="2026-10-01")


class FattyAcidShare(Strict):
    """A fatty acid of a profile."""

    fatty_acid = Text(required=True, check=fatty_acid, about="Its notation, as at /v1/fats", example="C18:1")
    share_pct = Number(required=True, bounds=limits.SHARE_PCT, about="Of all fatty acids", unit="%", example=100)


def _profile(fatty_acids: tuple[dict[str, Any], ...], unsaponifiable_pct: float = 0.5) -> Profile:
    shares: dict[str, float] = {}
    for row in fatty_acids:  # the same acid twice: isomers, added up
        shares[row["fatty_acid"]] = shares.get(row["fatty_acid"], 0.0) + row["share_pct"]
    return Profile(shares, unsaponifiable_pct)


class ProfileInput(Strict):
    """The fatty acids of a fat, as a laboratory gives them; the saponification value follows, 1 % either way."""

    builds = _profile

    fatty_acids = ListOf(Part(FattyAcidShare), required=True, at_least=1, at_most=40, about="They add up to 100")
    unsaponifiable_pct = Number(bounds=limits.PART_PCT, about="Unsaponifiable matter; default 0.5",
                                unit="% of fat", example=0.5)

