"""Every object that a request may hold. Written by `make contract` from openapi.yaml; do not edit."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, NotRequired, TypeAlias, TypedDict

from kettlewright_client.values import Day, Number, Whole

if TYPE_CHECKING:
    from kettlewright_client.results import ResolvedValues, WeighListRow

__all__ = ["AcidInput", "ActualsRequest", "AdditionInput", "AlkaliInput", "AtHandInput", "BarInput", "BarsCutInput",
           "BarsInput", "BarsOrderInput", "BatchFadeInput", "BatchNeedInput", "BatchOfDesignInput", "BatchesRequest",
           "BatterInput", "BlendsRequest", "BlockInput", "BorrowingInput", "BowlMould", "BoxMould", "CertificateInput",
           "ClosedInput", "ColourantInput", "ConeFrustumMould", "ConstituentInput", "ContainsInput", "CorrectionInput",
           "CostRowInput", "CostsRequest", "CureRequest", "CutInput", "CutsRequest", "CylinderMould", "DatesInput",
           "Day", "DayOfCureInput", "DispersionInput", "DustingInput", "EllipticCylinderMould", "ExtraColourInput",
           "FadePortionInput", "FadesRequest", "FatAtHandInput", "FatInput", "FattyAcidShare", "FillInput",
           "HalfRoundMould", "IngredientPriceInput", "LabInput", "LabelInput", "LabelsRequest", "LabourInput",
           "LimitingInput", "LiquidInput", "LoafInput", "LookInput", "LyeRequest", "LyingCylinderMould",
           "MeasuredMould", "MeltingLiquidInput", "MoneyInput", "MouldAtHandInput", "MouldInput", "MouldKindInput",
           "MouldsRequest", "NeedInput", "Number", "ObjectiveInput", "OffcutsInput", "OrderInput",
           "OtherColourantInput", "OtherEndInput", "OwnFatInput", "OwnNameInput", "PackInput", "PackPriceInput",
           "PackagingInput", "PiecesPriceInput", "PlacesInput", "PortionInput", "PortionsRequest", "PriceInput",
           "PriceStepInput", "PricesInput", "PrismMould", "ProfileInput", "PromiseInput", "PurchasesRequest",
           "RebatchesRequest", "RecipeInput", "RecordInput", "ReleaseInput", "ResidueInput", "ResolvedInput",
           "ResolvedLineInput", "SalesTaxInput", "SaponificationRange", "ScaleSteps", "ScalingRequest",
           "SchedulesRequest", "SellingInput", "ShopFeesInput", "SpanInput", "StockInput", "SupplierInput",
           "SwatchInput", "TaperedBoxMould", "TargetInput", "TemperaturesInput", "ToleranceInput", "TrimInput",
           "TroughMould", "UnitsChoice", "UntilInput", "WaterInput", "WeighRowInput", "WeighedRowInput",
           "WeighingInput", "Whole", "WishInput"]


class UnitsChoice(TypedDict):
    """`units` of `LyeRequest` (Units that govern the request and the response), and 13 more."""

    mass: NotRequired[Literal["g", "kg", "oz", "lb"]]
    """Unit of masses."""

    dose: NotRequired[Literal["g", "oz"]]
    """Unit of additions, powders and acids."""

    length: NotRequired[Literal["mm", "cm", "in"]]
    """Unit of lengths."""

    volume: NotRequired[Literal["mL", "L", "us_fl_oz"]]
    """Unit of volumes."""

    temperature: NotRequired[Literal["degC", "degF"]]
    """Unit of temperatures."""


class SaponificationRange(TypedDict):
    """`saponification_value` of `FatInput` (Of a fat of your own), and 5 more."""

    min: Number
    """Lower end. Unit: mg KOH per g of fat. 60 to 400."""

    max: Number
    """Upper end. Unit: mg KOH per g of fat. 60 to 400."""


class CertificateInput(TypedDict):
    """`certificate` of `FatInput` (Of a fat of your own: what the certificate of the lot states), and 2 more."""

    value: Number
    """Saponification value. Unit: mg KOH per g of fat. 60 to 400."""

    tolerance: NotRequired[Number]
    """Tolerance either way; default 1. Unit: mg KOH per g of fat. 0 to 50."""

    acid_value: NotRequired[Number]
    """Free fatty acids, included in the value; default 0. Unit: mg KOH per g of fat. 0 to 400."""

    date: NotRequired[str]
    """Day of the certificate, as YYYY-MM-DD. At most 200 characters."""


class FattyAcidShare(TypedDict):
    """`fatty_acids[]` of `ProfileInput` (They add up to 100)."""

    fatty_acid: str
    """Its notation, as at /v1/fats. At most 200 characters."""

    share_pct: Number
    """Of all fatty acids. Unit: %. More than 0 to 100."""


class ProfileInput(TypedDict):
    """`profile` of `FatInput` (Of a fat of your own: its fatty acids), and 2 more."""

    fatty_acids: Sequence[FattyAcidShare]
    """They add up to 100. 1 to 40 items."""

    unsaponifiable_pct: NotRequired[Number]
    """Unsaponifiable matter; default 0.5. Unit: % of fat. 0 to 100."""


class FatInput(TypedDict):
    """`fats[]` of `LyeRequest` (The fats), and 1 more. Give exactly one of `fat` or `name`. Give exactly one of `mass`
    or `share_pct`.
    """

    fat: NotRequired[str]
    """Key of /v1/fats or of own_fats, or a name that only one fat has. At most 200 characters."""

    name: NotRequired[str]
    """Name of a fat of your own. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """Of a fat of your own."""

    certificate: NotRequired[CertificateInput]
    """Of a fat of your own: what the certificate of the lot states."""

    profile: NotRequired[ProfileInput]
    """Of a fat of your own: its fatty acids."""

    acid_value: NotRequired[Number]
    """Free fatty acids of an old fat, included in its saponification value; they release water instead of glycerol.
    Unit: mg KOH per g of fat. 0 to 400.
    """

    mass: NotRequired[Number]
    """Mass; all fats by mass, or all by share. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit
    where the range is widest).
    """

    share_pct: NotRequired[Number]
    """Share of all fats, by mass. Unit: %. More than 0 to 100."""

    density: NotRequired[Number]
    """Overrides the table. Unit: g/mL at 40 degC. 0.7 to 1.2."""

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""

    inci: NotRequired[str]
    """Name on a label; default the table's. At most 200 characters."""

    inci_as_reacted: NotRequired[str]
    """Name on a label of its sodium soap. At most 200 characters."""


class StockInput(TypedDict):
    """`stock` of `AlkaliInput` (In place of dry alkali)."""

    concentration_pct: Number
    """Pure alkali in it, by mass. Unit: %. 1 to 50."""

    concentration_tolerance_pct: NotRequired[Number]
    """Tolerance either way; default 0.5. Unit: points. 0 to 20."""

    temperature: NotRequired[Number]
    """Its temperature when it goes into the water; default that of the water. Unit: `units.temperature`, degC if not
    set. 0 to 212 (in the unit where the range is widest).
    """


class AlkaliInput(TypedDict):
    """`alkalis[]` of `LyeRequest` (One alkali, or both with shares), and 1 more. Do not give `purity_pct` and
    `purity_at_least_pct` together. Do not give `purity_pct` and `stock` together. Do not give `purity_at_least_pct` and
    `stock` together. `purity_tolerance_pct` needs `purity_pct`.
    """

    alkali: Literal["NaOH", "KOH"]
    """Which alkali."""

    share_pct: NotRequired[Number]
    """With two alkalis: share of the fats, by equivalents. Unit: %. More than 0 to 100."""

    purity_pct: NotRequired[Number]
    """Purity on the label; default 100 for NaOH, required for KOH. Unit: % by mass. 50 to 100."""

    purity_tolerance_pct: NotRequired[Number]
    """Tolerance of purity_pct either way; default 1. Unit: points. 0 to 20."""

    purity_at_least_pct: NotRequired[Number]
    """In place of purity_pct: a guarantee such as "at least 98 %". Unit: % by mass. 50 to 100."""

    stock: NotRequired[StockInput]
    """In place of dry alkali."""

    count_impurity_as_water: NotRequired[bool]
    """Its impurity is absorbed water (as in potassium hydroxide) and counts as water; the water rule then uses the pure
    mass. An assay of total alkali includes carbonate, which makes no soap: subtract 0.81 points of KOH for each percent
    of potassium carbonate.
    """

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""


class WaterInput(TypedDict):
    """`water` of `LyeRequest` (How much water), and 1 more. Give exactly one of `lye_concentration_pct`,
    `water_to_alkali` or `water_pct_of_fats`.
    """

    lye_concentration_pct: NotRequired[Number]
    """Alkali as weighed (in stocks: pure) in the lye. Unit: % by mass. 5 to 60."""

    water_to_alkali: NotRequired[Number]
    """Water per part of that alkali. Unit: g per g. 0.6 to 20."""

    water_pct_of_fats: NotRequired[Number]
    """Water as a share of all fats. Unit: % of fats. 1 to 300."""

    ice_pct: NotRequired[Number]
    """Part of the water to add that goes in as ice. Unit: % of added water. 0 to 100."""


class AcidInput(TypedDict):
    """`acids[]` of `LyeRequest` (Acids; they consume alkali), and 1 more. Give exactly one of `mass` or `pct_of_fats`.
    """

    acid: Literal[
        "citric_anhydrous", "citric_monohydrate", "lactic", "acetic", "tartaric", "ascorbic", "sorbic", "lauric",
        "myristic", "palmitic", "stearic", "oleic", "ricinoleic",
    ]
    """Which acid."""

    mass: NotRequired[Number]
    """Mass as bought. Unit: `units.dose`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    pct_of_fats: NotRequired[Number]
    """Mass as bought, as a share of all fats; use this if fats are by share. Unit: % of fats. More than 0 to 100."""

    strength_pct: NotRequired[Number]
    """Acid in the product as bought, the rest water; default 100. Unit: % by mass. 0.01 to 100."""

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""


class LiquidInput(TypedDict):
    """`liquids[]` of `LyeRequest` (Liquids in place of part of the water), and 1 more. Give exactly one of `mass`,
    `pct_of_fats` or `rest_of_water`.
    """

    name: str
    """Name. At most 200 characters."""

    mass: NotRequired[Number]
    """Mass. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is widest)."""

    pct_of_fats: NotRequired[Number]
    """In place of mass. Unit: % of fats. More than 0 to 100."""

    rest_of_water: NotRequired[bool]
    """In place of mass or pct_of_fats: as much as the water rule leaves, so that no water is added."""

    water_pct: Number
    """Water in it. Unit: % by mass. 0 to 100."""

    fat_pct: NotRequired[Number]
    """Fat in it; it gets alkali. Unit: % by mass. 0 to 100."""

    fat: NotRequired[str]
    """Which fat: a key of /v1/fats or own_fats, or its name. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """In place of fat."""

    temperature: NotRequired[Number]
    """Its temperature when the alkali goes in; default that of the water. Unit: `units.temperature`, degC if not set. 0
    to 212 (in the unit where the range is widest).
    """

    frozen: NotRequired[bool]
    """Frozen: its water is ice of 0 degC."""

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""


class TemperaturesInput(TypedDict):
    """`temperatures` of `LyeRequest` (Temperatures, where known), and 1 more."""

    water: NotRequired[Number]
    """Of the water before the alkali goes in. Unit: `units.temperature`, degC if not set. 0 to 212 (in the unit where
    the range is widest).
    """

    fats: NotRequired[Number]
    """Of the fats when the lye goes in. Unit: `units.temperature`, degC if not set. 0 to 212 (in the unit where the
    range is widest).
    """

    lye: NotRequired[Number]
    """Of the lye when it goes into the fats. Unit: `units.temperature`, degC if not set. 0 to 212 (in the unit where
    the range is widest).
    """

    pour: NotRequired[Number]
    """Of the batter at the pour. Unit: `units.temperature`, degC if not set. 0 to 212 (in the unit where the range is
    widest).
    """

    fats_solid_pct: NotRequired[Number]
    """Part of the fats that is still solid when the lye goes in. Unit: % of fats. 0 to 100."""


class ScaleSteps(TypedDict):
    """`scale` of `LyeRequest` (Steps of the scales), and 7 more."""

    readability: NotRequired[Number]
    """Step for fats, water and portions. Unit: `units.mass`, g if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    alkali_readability: NotRequired[Number]
    """Step for dry alkali and stock. Unit: `units.mass`, g if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    dose_readability: NotRequired[Number]
    """Step for acids, additions and powders. Unit: `units.mass`, g if not set. More than 0 to 10,000 (in the unit where
    the range is widest).
    """


class PriceInput(TypedDict):
    """`price` of `OwnFatInput` (What it costs), and 3 more."""

    amount: str
    """Amount, as decimal text. At most 200 characters."""

    currency: str
    """ISO 4217. At most 200 characters."""

    per_mass: Number
    """What it buys. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is widest).
    """


class OwnFatInput(TypedDict):
    """`own_fats[]` of `LyeRequest` (Fats of your own; the recipe names them by their keys), and 5 more."""

    key: str
    """Key that the recipe uses; not one of the table's. At most 200 characters."""

    name: NotRequired[str]
    """Name; default the key. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """Its range; this, certificate or profile."""

    certificate: NotRequired[CertificateInput]
    """What the certificate of the lot states."""

    profile: NotRequired[ProfileInput]
    """Its fatty acids."""

    acid_value: NotRequired[Number]
    """Free fatty acids, included in the saponification value. Unit: mg KOH per g of fat. 0 to 400."""

    density: NotRequired[Number]
    """Density. Unit: g/mL at 40 degC. 0.7 to 1.2."""

    price: NotRequired[PriceInput]
    """What it costs."""

    inci: NotRequired[str]
    """Name on a label. At most 200 characters."""

    inci_as_reacted: NotRequired[str]
    """Name on a label of its sodium soap. At most 200 characters."""


class LyeRequest(TypedDict):
    """The arguments of `lye`. Give exactly one of `superfat_pct` or `superfat_at_least_pct`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    fats: Sequence[FatInput]
    """The fats. 1 to 60 items."""

    superfat_pct: NotRequired[Number]
    """Share of the fats' alkali that is left out, counted at the middle of each range; this or superfat_at_least_pct.
    Unit: %. 0 to 50.
    """

    superfat_at_least_pct: NotRequired[Number]
    """In place of superfat_pct: a minimum over the whole declared range, scale errors included. Unit: %. 0 to 50."""

    alkalis: Sequence[AlkaliInput]
    """One alkali, or both with shares. 1 to 2 items."""

    water: WaterInput
    """How much water."""

    acids: NotRequired[Sequence[AcidInput]]
    """Acids; they consume alkali. At most 13 items."""

    liquids: NotRequired[Sequence[LiquidInput]]
    """Liquids in place of part of the water. At most 20 items."""

    temperatures: NotRequired[TemperaturesInput]
    """Temperatures, where known."""

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    batter_density: NotRequired[Number]
    """Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of a whole bar as cut: for the total fatty matter of the cured bar. Unit: %.
    0 to 60.
    """

    workings: NotRequired[bool]
    """The calculation of the lye line by line, in grams."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; the recipe names them by their keys. At most 200 items."""


class RecipeInput(TypedDict):
    """`recipe` of `ScalingRequest` (By mass or by share), and 4 more. Give exactly one of `superfat_pct` or
    `superfat_at_least_pct`.
    """

    fats: Sequence[FatInput]
    """The fats. 1 to 60 items."""

    superfat_pct: NotRequired[Number]
    """Share of the fats' alkali that is left out, counted at the middle of each range; this or superfat_at_least_pct.
    Unit: %. 0 to 50.
    """

    superfat_at_least_pct: NotRequired[Number]
    """In place of superfat_pct: a minimum over the whole declared range, scale errors included. Unit: %. 0 to 50."""

    alkalis: Sequence[AlkaliInput]
    """One alkali, or both with shares. 1 to 2 items."""

    water: WaterInput
    """How much water."""

    acids: NotRequired[Sequence[AcidInput]]
    """Acids; they consume alkali. At most 13 items."""

    liquids: NotRequired[Sequence[LiquidInput]]
    """Liquids in place of part of the water. At most 20 items."""

    temperatures: NotRequired[TemperaturesInput]
    """Temperatures, where known."""


class BoxMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["box"]
    """Shape."""

    length: Number
    """Inside length. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    width: Number
    """Inside width. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class TaperedBoxMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["tapered_box"]
    """Shape."""

    length: Number
    """Inside length at the rim. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range
    is widest).
    """

    width: Number
    """Inside width at the rim. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range
    is widest).
    """

    base_length: Number
    """Inside length at the bottom. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    base_width: Number
    """Inside width at the bottom. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class TroughMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["trough"]
    """Shape."""

    length: Number
    """Inside length. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    width: Number
    """Inside width at the rim. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range
    is widest).
    """

    base_width: Number
    """Inside width at the bottom. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class HalfRoundMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["half_round"]
    """Shape."""

    length: Number
    """Inside length. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    diameter: Number
    """Inside diameter. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """


class CylinderMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["cylinder"]
    """Shape."""

    diameter: Number
    """Inside diameter. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class EllipticCylinderMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["elliptic_cylinder"]
    """Shape."""

    diameter: Number
    """Inside, the long diameter. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    short_diameter: Number
    """Inside, the short diameter. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class ConeFrustumMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["cone_frustum"]
    """Shape."""

    diameter: Number
    """Inside diameter at the rim. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    base_diameter: Number
    """Inside diameter at the bottom. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class LyingCylinderMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["lying_cylinder"]
    """Shape."""

    diameter: Number
    """Inside diameter. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    length: Number
    """Inside length. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """


class BowlMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["bowl"]
    """Shape."""

    diameter: Number
    """Inside diameter at the rim. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class PrismMould(TypedDict):
    """Fields that several objects have. Give exactly one of `side`, `across_flats` or `circumradius`."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["prism"]
    """Shape."""

    sides: Whole
    """How many sides. Unit: sides. 3 to 100."""

    side: NotRequired[Number]
    """Length of a side. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    across_flats: NotRequired[Number]
    """From side to opposite side (twice the distance from the middle to a side). Unit: `units.length`, mm if not set.
    More than 0 to 10,000 (in the unit where the range is widest).
    """

    circumradius: NotRequired[Number]
    """From the middle to a corner. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the
    range is widest).
    """

    depth: Number
    """Inside depth. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest).
    """


class MeasuredMould(TypedDict):
    """Fields that several objects have."""

    count: NotRequired[Whole]
    """Equal moulds or cavities; default 1. Unit: moulds. 1 to 500."""

    liner: NotRequired[Number]
    """Thickness of the liner; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range
    is widest).
    """

    headspace: NotRequired[Number]
    """Space left free below the rim; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the
    range is widest).
    """

    shape: Literal["measured"]
    """Shape."""

    volume: Number
    """To the brim, of one cavity. Unit: `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the
    range is widest).
    """

    depth: NotRequired[Number]
    """With it heights are estimated as if the walls were upright. Unit: `units.length`, mm if not set. More than 0 to
    10,000 (in the unit where the range is widest).
    """


MouldInput: TypeAlias = (
    BoxMould
    | TaperedBoxMould
    | TroughMould
    | HalfRoundMould
    | CylinderMould
    | EllipticCylinderMould
    | ConeFrustumMould
    | LyingCylinderMould
    | BowlMould
    | PrismMould
    | MeasuredMould
)
"""Distinguished by `shape`; `shape` says which."""


class ResidueInput(TypedDict):
    """`residue` of `TargetInput` (With a mould: what stays behind), and 4 more."""

    pot: NotRequired[Number]
    """Left in the pot; default 0. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    portion: NotRequired[Number]
    """Left in each bucket; default 0. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    kept_back: NotRequired[Number]
    """Plain batter set aside from the pot, for a test or a repair; default 0. Unit: `units.mass`, g if not set. 0 to
    1,000,000 (in the unit where the range is widest).
    """


class BarsInput(TypedDict):
    """`bars` of `TargetInput` (Bars of a cured mass)."""

    count: Whole
    """How many. Unit: bars. 1 to 100,000."""

    mass: Number
    """Of one cured bar. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    expected_loss_pct: Number
    """Loss in cure, as a share of the mass of a whole bar as cut. Unit: %. 0 to 60."""


class LimitingInput(TypedDict):
    """`limiting` of `TargetInput` (All that is left of one ingredient)."""

    kind: Literal["fat", "alkali", "addition"]
    """What it is."""

    key: str
    """Its key, or the slug of its name. At most 200 characters."""

    mass: Number
    """What is left of it, as bought. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the
    range is widest).
    """


class TargetInput(TypedDict):
    """`target` of `ScalingRequest` (The new size). Give exactly one of `factor`, `fats_mass`, `batter_mass`, `mould`,
    `bars` or `limiting`. `residue` needs `mould`.
    """

    factor: NotRequired[Number]
    """Multiplies the recipe; not for a recipe by shares. Unit: 1. More than 0 to 10,000."""

    fats_mass: NotRequired[Number]
    """All fats. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is widest)."""

    batter_mass: NotRequired[Number]
    """All batter, before additions. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the
    range is widest).
    """

    mould: NotRequired[MouldInput]
    """A mould filled to its headspace."""

    residue: NotRequired[ResidueInput]
    """With a mould: what stays behind."""

    bars: NotRequired[BarsInput]
    """Bars of a cured mass."""

    limiting: NotRequired[LimitingInput]
    """All that is left of one ingredient."""


class ContainsInput(TypedDict):
    """`contains` of `AdditionInput` (Oil or water in it as bought; the dose includes them)."""

    water_pct: NotRequired[Number]
    """Water in it. Unit: % by mass. 0 to 100."""

    fat_pct: NotRequired[Number]
    """Oil in it: in additions to the whole batch it gets alkali, in a portion it stays free. Unit: % by mass. 0 to 100.
    """

    fat: NotRequired[str]
    """Which oil: a key of /v1/fats or own_fats, or its name. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """In place of fat."""


class DispersionInput(TypedDict):
    """`dispersion` of `AdditionInput` (What you stir it into before the pour; the dose is that of the dry addition, and
    you weigh the dispersion into the batter), and 1 more.
    """

    carrier: Literal["oil", "water", "glycerol"]
    """Oil counts as fat in additions to the whole batch and stays free in a portion; water evaporates in the cure;
    glycerol stays in the bar.
    """

    strength_pct: Number
    """Dry addition in it. Unit: % by mass. 0.1 to 99."""

    fat: NotRequired[str]
    """Which oil: a key of /v1/fats or own_fats, or its name. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """In place of fat."""

    spare_pct: NotRequired[Number]
    """Extra, for what sticks to the jar; default 10. Unit: % of the doses. 0 to 100."""


class ConstituentInput(TypedDict):
    """`allergens[]` of `AdditionInput` (The supplier's composition of a fragrance, as far as it is given). Give exactly
    one of `cas` or `name`.
    """

    cas: NotRequired[str]
    """CAS number; its check digit must be right. At most 200 characters."""

    name: NotRequired[str]
    """In place of it, the name of a listed allergen. At most 200 characters."""

    pct: Number
    """Of the fragrance as bought. Unit: % by mass. More than 0 to 100."""


class AdditionInput(TypedDict):
    """`additions[]` of `ScalingRequest` (Of the whole batch: they take room in a mould, and one of them may be the
    limiting ingredient), and 6 more.
    """

    name: str
    """Your name for it. At most 200 characters."""

    kind: Literal[
        "colourant", "fragrance", "clay", "exfoliant", "botanical", "sugar", "salt", "soap_pieces", "spray", "other",
    ]
    """What it is; a spray goes on top and counts in no total."""

    dose: Number
    """How much, in the unit of its basis. Unit: % or g/kg; with basis mass in the unit of units.dose. More than 0 to
    1,000,000.
    """

    basis: Literal["pct_of_fats", "pct_of_batter", "g_per_kg_fats", "g_per_kg_batter", "mass"]
    """What the dose refers to: all fats or all batter before additions; in a portion, its share of them."""

    density: NotRequired[Number]
    """The batter's if not given. Unit: g/mL. 0.05 to 10."""

    limit_pct: NotRequired[Number]
    """Largest share of the cured bar, from the supplier's certificate. Unit: % of cured bar. More than 0 to 100."""

    inci: NotRequired[str]
    """Name on a label, or colour index number. At most 200 characters."""

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""

    contains: NotRequired[ContainsInput]
    """Oil or water in it as bought; the dose includes them."""

    dispersion: NotRequired[DispersionInput]
    """What you stir it into before the pour; the dose is that of the dry addition, and you weigh the dispersion into
    the batter.
    """

    thickens_fast: NotRequired[bool]
    """It brings the batter to trace within minutes: it is stirred in last."""

    allergens: NotRequired[Sequence[ConstituentInput]]
    """The supplier's composition of a fragrance, as far as it is given. At most 200 items."""


class ScalingRequest(TypedDict):
    """The arguments of `scaling`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    recipe: RecipeInput
    """By mass or by share."""

    target: TargetInput
    """The new size."""

    additions: NotRequired[Sequence[AdditionInput]]
    """Of the whole batch: they take room in a mould, and one of them may be the limiting ingredient. At most 40 items.
    """

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    batter_density: NotRequired[Number]
    """Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of a whole bar as cut: for the total fatty matter of the cured bar. Unit: %.
    0 to 60.
    """

    workings: NotRequired[bool]
    """The calculation of the lye line by line, in grams."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; the recipe names them by their keys. At most 200 items."""


class FillInput(TypedDict):
    """`fill` of `MouldsRequest` (How far to fill the mould). Give exactly one of `volume`, `depth` or `mass`. `mass`
    needs `density`.
    """

    volume: NotRequired[Number]
    """Over all cavities. Unit: `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is
    widest).
    """

    depth: NotRequired[Number]
    """In each cavity. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    mass: NotRequired[Number]
    """Over all cavities; needs the density. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit
    where the range is widest).
    """

    density: NotRequired[Number]
    """Of the batter. Unit: g/mL. 0.05 to 10."""


class MouldAtHandInput(TypedDict):
    """`moulds[]` of `MouldsRequest` (In place of mould: those at hand)."""

    name: str
    """Your name for it. At most 200 characters."""

    mould: MouldInput
    """A mould."""

    at_most: NotRequired[Whole]
    """How often it may be filled; default 1. Unit: times. 1 to 200."""


class OrderInput(TypedDict):
    """`order` of `MouldsRequest` (With moulds: how much to mould). Give exactly one of `volume` or `mass`. `mass` needs
    `density`.
    """

    volume: NotRequired[Number]
    """At least this much. Unit: `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is
    widest).
    """

    mass: NotRequired[Number]
    """At least this much; needs the density. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit
    where the range is widest).
    """

    density: NotRequired[Number]
    """Of the batter. Unit: g/mL. 0.05 to 10."""


class MouldsRequest(TypedDict):
    """The arguments of `moulds`. Give exactly one of `mould` or `moulds`. `moulds` needs `order`. `order` needs
    `moulds`. `fill` needs `mould`. `objective` needs `moulds`.
    """

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    mould: NotRequired[MouldInput]
    """A mould."""

    fill: NotRequired[FillInput]
    """How far to fill the mould."""

    moulds: NotRequired[Sequence[MouldAtHandInput]]
    """In place of mould: those at hand. 1 to 40 items."""

    order: NotRequired[OrderInput]
    """With moulds: how much to mould."""

    objective: NotRequired[Literal["least_left_over", "fewest_pours"]]
    """With moulds: least batter left over (default), or fewest pours."""


class BatterInput(TypedDict):
    """`batter` of `PortionsRequest` (The batter before any addition)."""

    mass: Number
    """All of it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is widest)."""

    density: Number
    """Of the batter. Unit: g/mL. 0.05 to 10."""

    fats_mass: NotRequired[Number]
    """Fats in it; a dose on fats needs it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit
    where the range is widest).
    """


BorrowingInput = TypedDict("BorrowingInput", {
    "from": str,
    "share_pct": Number,
})
"""`borrows[]` of `PortionInput` (Batter taken from other buckets. Shares, masses and depths are what you pour of a
portion: a bucket that lends makes more; one that borrows takes less from the pot, and its doses refer to that. At most
80 in the batch). `from`: Name or key of the other portion. At most 200 characters. `share_pct`: Of this bucket's
batter, without its own additions. Unit: %. More than 0 to 99.9.
"""


class DustingInput(TypedDict):
    """`dusting` of `PortionInput` (Powder sifted on top of this layer)."""

    name: str
    """The powder. At most 200 characters."""

    coverage: Number
    """How much of it. Unit: g/m2. 0.001 to 5,000."""

    colour: NotRequired[str]
    """For the picture. At most 200 characters."""


class PortionInput(TypedDict):
    """`portions[]` of `PortionsRequest` (Buckets, in pour order from the bottom), and 3 more. Give exactly one of
    `share_pct`, `mass` or `layer_depth`.
    """

    name: str
    """Your name for it. At most 200 characters."""

    share_pct: NotRequired[Number]
    """Of the pot less its residue. Unit: %. More than 0 to 100."""

    mass: NotRequired[Number]
    """The full bucket, its own additions included. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the
    unit where the range is widest).
    """

    layer_depth: NotRequired[Number]
    """How thick its layer is in the mould; then the batch is as large as its layers. Unit: `units.length`, mm if not
    set. More than 0 to 10,000 (in the unit where the range is widest).
    """

    additions: NotRequired[Sequence[AdditionInput]]
    """Stirred into this bucket; at most 240 in pot and buckets together. At most 40 items."""

    borrows: NotRequired[Sequence[BorrowingInput]]
    """Batter taken from other buckets. Shares, masses and depths are what you pour of a portion: a bucket that lends
    makes more; one that borrows takes less from the pot, and its doses refer to that. At most 80 in the batch. At most
    10 items.
    """

    dusting: NotRequired[DustingInput]
    """Powder sifted on top of this layer."""

    colour: NotRequired[str]
    """For the picture. At most 200 characters."""


class PortionsRequest(TypedDict):
    """The arguments of `portions`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    batter: BatterInput
    """The batter before any addition."""

    portions: Sequence[PortionInput]
    """Buckets, in pour order from the bottom. 1 to 60 items."""

    additions: NotRequired[Sequence[AdditionInput]]
    """The batch's own, into the pot. At most 40 items."""

    residue: NotRequired[ResidueInput]
    """What stays behind."""

    mould: NotRequired[MouldInput]
    """Where it goes; layers and powders need it."""

    arrangement: NotRequired[Literal["layers", "columns", "mingled", "separate"]]
    """How the portions lie: flat layers (if not given); columns between upright dividers; mingled: swirled, masses but
    no heights; separate: one per cavity.
    """

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of a whole piece as cut, additions included; a limit needs it. Unit: %. 0 to
    60.
    """


class LabInput(TypedDict):
    """`lab` of `SwatchInput` (In place of colour), and 1 more."""

    lightness: Number
    """L*. Unit: 1. 0 to 100."""

    a: Number
    """A*. Unit: 1. -200 to 200."""

    b: Number
    """B*. Unit: 1. -200 to 200."""


class SwatchInput(TypedDict):
    """`swatches[]` of `OtherEndInput` (Of the other colourant, one of them plain), and 3 more. Give exactly one of
    `colour` or `lab`.
    """

    dose: Number
    """Colourant; 0 for plain batter. Unit: g per kg of batter. 0 to 500."""

    colour: NotRequired[str]
    """As a screen shows it. At most 200 characters."""

    lab: NotRequired[LabInput]
    """In place of colour."""

    state: NotRequired[Literal["cured", "wet"]]
    """Cured soap (if not given), or wet batter."""

    gelled: NotRequired[Literal["unknown", "yes", "no"]]
    """Whether it went through gel phase."""


class OtherEndInput(TypedDict):
    """`other` of `FadesRequest` (The other end of a fade from one colour through plain to another)."""

    swatches: Sequence[SwatchInput]
    """Of the other colourant, one of them plain. 2 to 40 items."""

    darkest_dose: NotRequired[Number]
    """Its dose at the end; default its darkest swatch. Unit: g per kg of batter. 0 to 500."""


class FadePortionInput(TypedDict):
    """`portions[]` of `FadesRequest` (The darkest first; with `other` from one end to the other)."""

    name: str
    """Your name for it. At most 200 characters."""

    mass: NotRequired[Number]
    """Batter in it; masses of colourant need it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the
    unit where the range is widest).
    """


class LookInput(TypedDict):
    """`now` of `ExtraColourInput` (As it is), and 1 more. Give exactly one of `dose`, `colour` or `lab`."""

    dose: NotRequired[Number]
    """Colourant in it. Unit: g per kg of batter. 0 to 500."""

    colour: NotRequired[str]
    """As a screen shows it. At most 200 characters."""

    lab: NotRequired[LabInput]
    """In place of colour."""


class ExtraColourInput(TypedDict):
    """`more` of `FadesRequest` (How much more a bucket needs)."""

    mass: Number
    """Batter in it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is widest).
    """

    now: LookInput
    """As it is."""

    wanted: LookInput
    """Wanted."""


class FadesRequest(TypedDict):
    """The arguments of `fades`."""

    swatches: Sequence[SwatchInput]
    """Of one colourant, made alike: one plain and one dyed are enough. 1 to 40 items."""

    kind: NotRequired[Literal["mineral", "plant", "white", "mica", "other"]]
    """Kind of colourant; the notes depend on it."""

    steps: NotRequired[Literal["ciede2000", "lightness"]]
    """Equal steps of CIEDE2000 (if not given) or of L*."""

    curve: NotRequired[Sequence[Number]]
    """In place of equal steps: lightness of each portion, rising from 0 (darkest) to 1 (lightest). Unit: 1. At most 40
    items; each 0 to 1.
    """

    doses: NotRequired[Sequence[Number]]
    """In place of steps: your own doses; only their colours are predicted. Unit: g per kg of batter. At most 40 items;
    each 0 to 500.
    """

    darkest_dose: NotRequired[Number]
    """Default the darkest swatch's. Unit: g per kg of batter. 0 to 500."""

    lightest_dose: NotRequired[Number]
    """Default the lightest swatch's. Unit: g per kg of batter. 0 to 500."""

    other: NotRequired[OtherEndInput]
    """The other end of a fade from one colour through plain to another."""

    carry_over: NotRequired[bool]
    """Also how much of each batter to keep to colour the next; needs the masses of all portions."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    portions: Sequence[FadePortionInput]
    """The darkest first; with `other` from one end to the other. At most 60 items."""

    dispersion_pct: NotRequired[Number]
    """Colourant in the dispersion it is weighed as. Unit: % by mass. 0.01 to 100."""

    price: NotRequired[PriceInput]
    """Of the colourant: the response then has the cost of the fade beside that of equal dose steps."""

    more: NotRequired[ExtraColourInput]
    """How much more a bucket needs."""


class BarInput(TypedDict):
    """`bar` of `CutsRequest` (The bars), and 1 more. Give exactly one of `thickness`, `count` or `mass`."""

    thickness: NotRequired[Number]
    """Of a bar. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest)."""

    count: NotRequired[Whole]
    """Equal bars of a loaf. Unit: bars. 1 to 100,000."""

    mass: NotRequired[Number]
    """Of a bar: cured where expected_loss_pct is given, else wet; needs the density. Unit: `units.mass`, g if not set.
    More than 0 to 1,000,000 (in the unit where the range is widest).
    """


class TrimInput(TypedDict):
    """`trim` of `LoafInput` (Default the bars'), and 2 more."""

    start: NotRequired[Number]
    """Cut off at the start; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range is
    widest).
    """

    end: NotRequired[Number]
    """Cut off at the end; default 0. Unit: `units.length`, mm if not set. 0 to 10,000 (in the unit where the range is
    widest).
    """


class LoafInput(TypedDict):
    """`loaf` of `CutsRequest` (The loaves; without it the block is one loaf, untrimmed across), and 1 more."""

    width: Number
    """Of a loaf. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest)."""

    kerf: NotRequired[Number]
    """Default the bars'. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range is widest)."""

    trim: NotRequired[TrimInput]
    """Default the bars'."""


class ToleranceInput(TypedDict):
    """`tolerance` of `CutsRequest` (Tolerances of the cuts), and 1 more."""

    length: NotRequired[Number]
    """Along the block's length; default 1 mm. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the
    range is widest).
    """

    width: NotRequired[Number]
    """Along the block's width; default 1 mm. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range
    is widest).
    """

    height: NotRequired[Number]
    """Of the height; default 2 mm. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range is
    widest).
    """

    density_pct: NotRequired[Number]
    """Of the density; default 1. Unit: %. 0 to 20."""


class BlockInput(TypedDict):
    """`block` of `CutsRequest` (The block)."""

    length: Number
    """Bars are cut along it. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is
    widest).
    """

    width: Number
    """Loaves are cut across it. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range
    is widest).
    """

    height: Number
    """Height. Unit: `units.length`, mm if not set. More than 0 to 10,000 (in the unit where the range is widest)."""


class CutsRequest(TypedDict):
    """The arguments of `cuts`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    bar: BarInput
    """The bars."""

    loaf: NotRequired[LoafInput]
    """The loaves; without it the block is one loaf, untrimmed across."""

    kerf: NotRequired[Number]
    """Width of a cut; default 0. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range is widest).
    """

    trim: NotRequired[TrimInput]
    """Cut off the ends first."""

    tolerance: NotRequired[ToleranceInput]
    """Tolerances of the cuts."""

    planing: NotRequired[Number]
    """Taken off the top of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0 to 100 (in the
    unit where the range is widest).
    """

    bevel: NotRequired[Number]
    """Leg of the bevel on all edges of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0 to 100
    (in the unit where the range is widest).
    """

    block: BlockInput
    """The block."""

    density: NotRequired[Number]
    """Of the block; masses need it. Unit: g/mL. 0.05 to 10."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of a whole bar as cut. Unit: %. 0 to 60."""


class SpanInput(TypedDict):
    """`spans[]` of `ClosedInput` (Days in a row)."""

    first: Day
    """The first of them. A date such as 2027-03-20."""

    last: Day
    """The last of them. A date such as 2027-03-20."""


class ClosedInput(TypedDict):
    """`closed` of `DatesInput` (Days when nobody works. Computed days move off them, earlier when counting backward and
    later when counting forward; a day you give never moves, and is rejected if it is closed), and 1 more.
    """

    weekdays: NotRequired[Sequence[Literal[
        "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
    ]]]
    """Every week. At most 7 items."""

    dates: NotRequired[Sequence[Day]]
    """Single days. At most 400 items. A date such as 2027-03-20."""

    spans: NotRequired[Sequence[SpanInput]]
    """Days in a row. At most 100 items."""


class DatesInput(TypedDict):
    """`dates` of `CureRequest` (Its release or its pour: gives its dates. With weighings by day, day 0 is the day of
    the cut), and 2 more. Give exactly one of `release` or `pour`.
    """

    unmould_days: NotRequired[Whole]
    """From the pour to unmoulding and cutting; default 1, for 18 to 24 hours (common practice, no source). Unit: days.
    0 to 60.
    """

    unmould_at_most_days: NotRequired[Whole]
    """Longest time in the mould, closed days included; no pour day that would exceed it is used. Unit: days. 0 to 60.
    """

    cure_days: NotRequired[Whole]
    """From the cut to packing; default 42, the longer end of 4 to 6 weeks (common practice, no source). Unit: days. 0
    to 1,500.
    """

    packing_days: NotRequired[Whole]
    """Working days of packing before the release; default 0: packed on the day of the release. Unit: days. 0 to 60."""

    release: NotRequired[Day]
    """The day it is sold from: the other days are computed backward, as late as possible. A date such as 2027-03-20."""

    pour: NotRequired[Day]
    """The day it is poured: the other days are computed forward. A date such as 2027-03-20."""

    closed: NotRequired[ClosedInput]
    """Days when nobody works. Computed days move off them, earlier when counting backward and later when counting
    forward; a day you give never moves, and is rejected if it is closed.
    """

    earliest: NotRequired[Day]
    """No pour before this day, for example today. A release that is too soon is rejected with the earliest possible
    one. A date such as 2027-03-20.
    """


class WeighingInput(TypedDict):
    """`weighings[]` of `CureRequest` (Three give a curve; four or more also give its error), and 1 more. Give exactly
    one of `day` or `date`.
    """

    day: NotRequired[Number]
    """Counted from day 0. Unit: days. 0 to 1,500."""

    date: NotRequired[Day]
    """The date. A date such as 2027-03-20."""

    mass: Number
    """Of the same bar each time, or the mean of the same bars. Unit: `units.mass`, g if not set. More than 0 to
    1,000,000 (in the unit where the range is widest).
    """


class DayOfCureInput(TypedDict):
    """`on[]` of `CureRequest` (Days on which the mass is wanted; needs weighings). Give exactly one of `day` or `date`.
    """

    day: NotRequired[Number]
    """Counted from day 0. Unit: days. 0 to 1,500."""

    date: NotRequired[Day]
    """The date. A date such as 2027-03-20."""


class UntilInput(TypedDict):
    """`until` of `CureRequest` (When a bar is dry; needs weighings)."""

    daily_loss: NotRequired[Number]
    """Dry when a bar loses less than this per day. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the
    unit where the range is widest).
    """

    within_pct: NotRequired[Number]
    """Dry when a bar is this close to its final mass. Unit: % of that mass. 0.001 to 50."""


class PromiseInput(TypedDict):
    """`promise` of `CureRequest` (Wet mass to make for a mass on the day). Do not give `day` and `date` together."""

    day: NotRequired[Number]
    """Counted from day 0. Unit: days. 0 to 1,500."""

    date: NotRequired[Day]
    """The date. A date such as 2027-03-20."""

    mass: Number
    """Of the cured bar. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
    widest).
    """


class CureRequest(TypedDict):
    """The arguments of `cure`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    name: NotRequired[str]
    """Your name for the batch; it appears in the calendar. At most 200 characters."""

    dates: NotRequired[DatesInput]
    """Its release or its pour: gives its dates. With weighings by day, day 0 is the day of the cut."""

    weighings: NotRequired[Sequence[WeighingInput]]
    """Three give a curve; four or more also give its error. 1 to 200 items."""

    on: NotRequired[Sequence[DayOfCureInput]]
    """Days on which the mass is wanted; needs weighings. At most 100 items."""

    until: NotRequired[UntilInput]
    """When a bar is dry; needs weighings."""

    promise: NotRequired[PromiseInput]
    """Wet mass to make for a mass on the day."""

    batter_mass: NotRequired[Number]
    """The whole batter; with water_mass the most a bar can lose. Unit: `units.mass`, g if not set. More than 0 to
    1,000,000 (in the unit where the range is widest).
    """

    water_mass: NotRequired[Number]
    """The water in it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    expected_loss_pct: NotRequired[Number]
    """Loss given in place of weighings, for a promise. Unit: % of the fresh mass. 0 to 60."""

    stamp: NotRequired[Day]
    """Date stamp of the calendar file; default the day of the pour. A date such as 2027-03-20."""


class BatchOfDesignInput(TypedDict):
    """`batches[]` of `SchedulesRequest` (What is made)."""

    unmould_days: NotRequired[Whole]
    """From the pour to unmoulding and cutting; default 1, for 18 to 24 hours (common practice, no source). Unit: days.
    0 to 60.
    """

    unmould_at_most_days: NotRequired[Whole]
    """Longest time in the mould, closed days included; no pour day that would exceed it is used. Unit: days. 0 to 60.
    """

    cure_days: NotRequired[Whole]
    """From the cut to packing; default 42, the longer end of 4 to 6 weeks (common practice, no source). Unit: days. 0
    to 1,500.
    """

    packing_days: NotRequired[Whole]
    """Working days of packing before the release; default 0: packed on the day of the release. Unit: days. 0 to 60."""

    name: str
    """Your name for it. At most 200 characters."""

    count: NotRequired[Whole]
    """How many batches; default 1. Unit: batches. 1 to 200."""

    mould: str
    """Name of the moulds it takes. At most 200 characters."""

    moulds_count: NotRequired[Whole]
    """How many moulds each batch takes; default 1. Unit: moulds. 1 to 500."""

    bars_count: NotRequired[Whole]
    """Bars of each batch; needed if places are counted in bars. Unit: bars. 1 to 100,000."""

    release: NotRequired[str]
    """The day it is sold from, or the name of a release; default the only release. At most 200 characters."""


class MouldKindInput(TypedDict):
    """`moulds[]` of `SchedulesRequest` (What there is to pour into)."""

    name: str
    """Your name for them. At most 200 characters."""

    count: NotRequired[Whole]
    """How many there are; default 1. Unit: moulds. 1 to 500."""


class ReleaseInput(TypedDict):
    """`releases[]` of `SchedulesRequest` (Releases with a name)."""

    name: str
    """Your name for it. At most 200 characters."""

    release: Day
    """The day its bars are sold from. A date such as 2027-03-20."""


class PlacesInput(TypedDict):
    """`places` of `SchedulesRequest` (Room for curing; default unlimited). Give exactly one of `batches_count` or
    `bars_count`.
    """

    batches_count: NotRequired[Whole]
    """Batches that lie there at once. Unit: batches. 1 to 200."""

    bars_count: NotRequired[Whole]
    """Bars that lie there at once. Unit: bars. 1 to 100,000."""


class SchedulesRequest(TypedDict):
    """The arguments of `schedules`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    batches: Sequence[BatchOfDesignInput]
    """What is made. 1 to 40 items."""

    moulds: Sequence[MouldKindInput]
    """What there is to pour into. 1 to 12 items."""

    releases: NotRequired[Sequence[ReleaseInput]]
    """Releases with a name. At most 20 items."""

    earliest: Day
    """No pour before this day, for example today. A date such as 2027-03-20."""

    pours_per_day_count: NotRequired[Whole]
    """Batches that can be poured on one day; default 1. Unit: batches. 1 to 100."""

    places: NotRequired[PlacesInput]
    """Room for curing; default unlimited."""

    closed: NotRequired[ClosedInput]
    """When nobody pours, cuts, packs or sells."""

    objective: NotRequired[Literal["late_pours", "early_pours"]]
    """Pours as late as possible (default): bars are fresh, money is tied up briefly; or as early as possible: time to
    spare.
    """

    stamp: NotRequired[Day]
    """Date stamp of the calendar file; default the earliest day. A date such as 2027-03-20."""


class FatAtHandInput(TypedDict):
    """`fats[]` of `BlendsRequest` (The fats at hand). Give exactly one of `fat` or `name`. Do not give `exactly_pct`
    and `at_least_pct` together. Do not give `exactly_pct` and `at_most_pct` together.
    """

    fat: NotRequired[str]
    """Key of /v1/fats or of own_fats, or a name that only one fat has. At most 200 characters."""

    name: NotRequired[str]
    """Name of a fat of your own. At most 200 characters."""

    saponification_value: NotRequired[SaponificationRange]
    """Of a fat of your own."""

    certificate: NotRequired[CertificateInput]
    """Of a fat of your own."""

    profile: NotRequired[ProfileInput]
    """Of a fat of your own; constraints on fatty acids need it."""

    acid_value: NotRequired[Number]
    """Free fatty acids. Unit: mg KOH per g of fat. 0 to 400."""

    at_least_pct: NotRequired[Number]
    """Smallest share. Unit: % of fats. 0 to 100."""

    at_most_pct: NotRequired[Number]
    """Largest share. Unit: % of fats. 0 to 100."""

    exactly_pct: NotRequired[Number]
    """Exactly this share. Unit: % of fats. 0 to 100."""

    stock: NotRequired[Number]
    """How much you have; needs fats_mass. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range
    is widest).
    """

    price: NotRequired[PriceInput]
    """Its price; cheapest needs one of every fat."""


class WishInput(TypedDict):
    """`wishes[]` of `BlendsRequest` (Constraints on the blend)."""

    property: Literal["saponification_value", "iodine_value", "fatty_acid", "group"]
    """Which property."""

    of: NotRequired[str]
    """Which fatty acid, such as C18:1, or group: saturated, monounsaturated, polyunsaturated, hydroxy. At most 200
    characters.
    """

    min: NotRequired[Number]
    """At least. Unit: mg KOH/g, g iodine/100 g or % of fatty acids. 0 to 1,000."""

    max: NotRequired[Number]
    """At most. Unit: mg KOH/g, g iodine/100 g or % of fatty acids. 0 to 1,000."""


class ObjectiveInput(TypedDict):
    """`objective` of `BlendsRequest` (What to optimise)."""

    kind: Literal["cheapest", "closest", "replace", "least", "most"]
    """Cheapest; closest to the recipe in fatty acids; replace one fat of the recipe, all others kept; least or most of
    one fat.
    """

    fat: NotRequired[str]
    """Of replace, least and most: the key of the fat. At most 200 characters."""


class BlendsRequest(TypedDict):
    """The arguments of `blends`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    fats: Sequence[FatAtHandInput]
    """The fats at hand. 1 to 60 items."""

    wishes: NotRequired[Sequence[WishInput]]
    """Constraints on the blend. At most 60 items."""

    objective: ObjectiveInput
    """What to optimise."""

    recipe: NotRequired[RecipeInput]
    """Recipe that closest and replace compare with; its lye is computed again for the blend."""

    fats_mass: NotRequired[Number]
    """All fats; stock needs it, and a recipe by shares for its lye. Unit: `units.mass`, g if not set. More than 0 to
    1,000,000 (in the unit where the range is widest).
    """

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; fats and recipe name them by their keys. At most 200 items."""


class ColourantInput(TypedDict):
    """`colourant` of `OtherColourantInput` (Colourant of these swatches), and 1 more."""

    name: str
    """Your name for it. At most 200 characters."""

    inci: NotRequired[str]
    """Name on a label, or colour index number. At most 200 characters."""

    lot: NotRequired[str]
    """Lot number. At most 200 characters."""

    density: NotRequired[Number]
    """Of what is weighed; the batter's if not given. Unit: g/mL. 0.05 to 10."""

    limit_pct: NotRequired[Number]
    """Largest share of the cured bar. Unit: % of cured bar. More than 0 to 100."""

    dispersion: NotRequired[DispersionInput]
    """What you stir it into before the pour."""


class OtherColourantInput(TypedDict):
    """`other` of `BatchFadeInput` (The other end of a fade from one colour through plain to another)."""

    swatches: Sequence[SwatchInput]
    """Of the other colourant, one of them plain. 2 to 40 items."""

    darkest_dose: NotRequired[Number]
    """Its dose at the end; default its darkest swatch. Unit: g per kg of batter. 0 to 500."""

    colourant: ColourantInput
    """Colourant of these swatches."""


class BatchFadeInput(TypedDict):
    """`fade` of `BatchesRequest` (Doses of a colourant for the portions, from your own swatches), and 2 more."""

    swatches: Sequence[SwatchInput]
    """Of one colourant, made alike: one plain and one dyed are enough. 1 to 40 items."""

    kind: NotRequired[Literal["mineral", "plant", "white", "mica", "other"]]
    """Kind of colourant; the notes depend on it."""

    steps: NotRequired[Literal["ciede2000", "lightness"]]
    """Equal steps of CIEDE2000 (if not given) or of L*."""

    curve: NotRequired[Sequence[Number]]
    """In place of equal steps: lightness of each portion, rising from 0 (darkest) to 1 (lightest). Unit: 1. At most 40
    items; each 0 to 1.
    """

    doses: NotRequired[Sequence[Number]]
    """In place of steps: your own doses; only their colours are predicted. Unit: g per kg of batter. At most 40 items;
    each 0 to 500.
    """

    darkest_dose: NotRequired[Number]
    """Default the darkest swatch's. Unit: g per kg of batter. 0 to 500."""

    lightest_dose: NotRequired[Number]
    """Default the lightest swatch's. Unit: g per kg of batter. 0 to 500."""

    other: NotRequired[OtherColourantInput]
    """The other end of a fade from one colour through plain to another."""

    carry_over: NotRequired[bool]
    """Each portion is coloured with batter from the one before; only the first gets colourant."""

    colourant: ColourantInput
    """Colourant of the swatches."""

    portions: NotRequired[Sequence[str]]
    """Names or keys of its portions, the darkest first; default all in pour order. At most 60 items; each at most 200
    characters.
    """


class CutInput(TypedDict):
    """`cut` of `BatchesRequest` (How the block is cut; for a box mould), and 3 more."""

    bar: BarInput
    """The bars."""

    loaf: NotRequired[LoafInput]
    """The loaves; without it the block is one loaf, untrimmed across."""

    kerf: NotRequired[Number]
    """Width of a cut; default 0. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range is widest).
    """

    trim: NotRequired[TrimInput]
    """Cut off the ends first."""

    tolerance: NotRequired[ToleranceInput]
    """Tolerances of the cuts."""

    planing: NotRequired[Number]
    """Taken off the top of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0 to 100 (in the
    unit where the range is widest).
    """

    bevel: NotRequired[Number]
    """Leg of the bevel on all edges of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0 to 100
    (in the unit where the range is widest).
    """


class OwnNameInput(TypedDict):
    """`names[]` of `LabelInput` (Your own list of label names)."""

    key: str
    """Key of a fat, or your name of a liquid, addition or powder. At most 200 characters."""

    inci: NotRequired[str]
    """Name on a label; for a pearlescent pigment several colour index numbers, with commas between them. At most 200
    characters.
    """

    inci_as_reacted: NotRequired[str]
    """Of a fat: name of its sodium soap. At most 200 characters."""

    permitted_in: NotRequired[Sequence[Literal["EU", "GB", "US"]]]
    """Of a colourant: markets in which its supplier's papers say it is permitted. At most 3 items."""


class LabelInput(TypedDict):
    """`label` of `BatchesRequest` (What you want on its label), and 2 more."""

    market: Literal["EU", "GB", "US"]
    """Where it is sold: the European Union, Great Britain or the United States."""

    naming: NotRequired[Literal["as_added", "as_reacted"]]
    """Names of fats and alkali as added (default), or of soap, glycerin and what stays free."""

    sold_on: NotRequired[str]
    """The day the batch is first placed on the market, as YYYY-MM-DD; it decides which list of allergens applies in the
    EU. At most 200 characters.
    """

    allergen_list: NotRequired[Literal["long", "first_26"]]
    """Which list to use, where you may choose: the longer one or the 26 of 2003."""

    net_quantity: NotRequired[Number]
    """To print; default what every bar contains. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the
    unit where the range is widest).
    """

    piece_tolerance_pct: NotRequired[Number]
    """Of pieces that are not cut: tolerance of their mass either way; default 3. Unit: %. 0 to 20."""

    sold_as: NotRequired[Literal["soap", "cosmetic"]]
    """United States: labelled, sold and represented only as soap, or as a cosmetic."""

    responsible_person: NotRequired[str]
    """Name and address, as printed. At most 200 characters."""

    batch_number: NotRequired[str]
    """As printed. At most 200 characters."""

    durability: NotRequired[str]
    """It keeps until the end of this month or day, 30 months or less. At most 200 characters."""

    period_after_opening_months: NotRequired[Whole]
    """In place of durability, for what keeps longer. Unit: months. 1 to 120."""

    precautions: NotRequired[Sequence[str]]
    """As printed. At most 20 items; each at most 200 characters."""

    function: NotRequired[str]
    """What it is for, as printed. At most 200 characters."""

    names: NotRequired[Sequence[OwnNameInput]]
    """Your own list of label names. At most 500 items."""


class IngredientPriceInput(TypedDict):
    """`ingredients[]` of `PricesInput` (Prices of the ingredients; a fat of own_fats may have its own)."""

    key: str
    """Key of the ingredient, `buy` of its row in the weigh list: of a fat, an acid, NaOH, KOH, water; for additions,
    powders and liquids a slug of the name; of a stock NaOH_stock or KOH_stock. At most 200 characters.
    """

    name: NotRequired[str]
    """For your own use. At most 200 characters."""

    price: PriceInput
    """Of the pack that you buy; 0 if it costs nothing."""


class MoneyInput(TypedDict):
    """`per_bar` of `PackagingInput` (For one bar; this or the price of a pack), and 5 more."""

    amount: str
    """Amount, as decimal text. At most 200 characters."""

    currency: str
    """ISO 4217. At most 200 characters."""


class PiecesPriceInput(TypedDict):
    """`price` of `PackagingInput` (Of a pack that is bought by the count)."""

    amount: str
    """Amount, as decimal text. At most 200 characters."""

    currency: str
    """ISO 4217. At most 200 characters."""

    per_count: Whole
    """Pieces in it. Unit: pieces. 1 to 1,000,000."""


class PackagingInput(TypedDict):
    """`packaging[]` of `PricesInput` (Of each bar that is sold). Give exactly one of `per_bar` or `price`.
    `per_bar_count` needs `price`.
    """

    name: str
    """What. At most 200 characters."""

    per_bar: NotRequired[MoneyInput]
    """For one bar; this or the price of a pack."""

    price: NotRequired[PiecesPriceInput]
    """Of a pack that is bought by the count."""

    per_bar_count: NotRequired[Number]
    """Pieces of that pack that a bar takes; default 1. Unit: pieces. 0.01 to 100."""


class LabourInput(TypedDict):
    """`labour` of `PricesInput` (Work on the batch)."""

    work_hours: Number
    """All work on the batch. Unit: h. 0 to 10,000."""

    per_hour: MoneyInput
    """What an hour costs."""


class SalesTaxInput(TypedDict):
    """`sales_tax` of `SellingInput` (None if not given)."""

    rate_pct: Number
    """Rate. Unit: % of net price. 0 to 100."""

    shown: NotRequired[Literal["included", "on_top"]]
    """Included in the price on the tag (default), or added on_top at the till."""


class ShopFeesInput(TypedDict):
    """`fees` of `SellingInput` (None if not given)."""

    of_gross_pct: NotRequired[Number]
    """Share of what the customer pays, tax included; default 0. Unit: % of gross price. 0 to 90."""

    fixed_per_order: NotRequired[MoneyInput]
    """Of each order."""

    bars_per_order: NotRequired[Number]
    """Bars in a usual order, which share its fixed fee; default 1. Unit: bars. 1 to 10,000."""


class PriceStepInput(TypedDict):
    """`price_step` of `SellingInput` (The tag price is rounded up to it; without it, to the coin)."""

    step: str
    """Distance between two such prices. At most 200 characters."""

    ends_on: NotRequired[str]
    """Added to each step: 0.90 with a step of 1 for 6.90, 7.90; default 0. At most 200 characters."""


class SellingInput(TypedDict):
    """`selling` of `PricesInput` (If absent, only the cost is computed)."""

    margin_pct: NotRequired[Number]
    """Profit as a share of the net price. Unit: % of net price. 0 to 99.9."""

    markup_pct: NotRequired[Number]
    """Profit as a share of the cost. Unit: % of cost. 0 to 100,000."""

    sales_tax: NotRequired[SalesTaxInput]
    """None if not given."""

    fees: NotRequired[ShopFeesInput]
    """None if not given."""

    price_step: NotRequired[PriceStepInput]
    """The tag price is rounded up to it; without it, to the coin."""


class PricesInput(TypedDict):
    """`prices` of `BatchesRequest` (Prices, packaging, work, losses, and how a bar is to be priced), and 1 more."""

    ingredients: NotRequired[Sequence[IngredientPriceInput]]
    """Prices of the ingredients; a fat of own_fats may have its own. At most 300 items."""

    packaging: NotRequired[Sequence[PackagingInput]]
    """Of each bar that is sold. At most 40 items."""

    labour: NotRequired[LabourInput]
    """Work on the batch."""

    overhead_pct: NotRequired[Number]
    """On ingredients, packaging and labour together; default 0. Unit: % of their sum. 0 to 1,000."""

    bars_count: NotRequired[Whole]
    """Bars made of the batch; leave it out if there is a cut. Without either, each cavity is one bar. Unit: bars. 1 to
    100,000.
    """

    broken_pct: NotRequired[Number]
    """Bars that break or fail, over many batches; default 0. Unit: % of bars made. 0 to 99."""

    kept_back_count: NotRequired[Whole]
    """Good bars of a batch that are not sold; default 0. Unit: bars. 0 to 100,000."""

    selling: NotRequired[SellingInput]
    """If absent, only the cost is computed."""


class ResolvedLineInput(TypedDict):
    """`lines[]` of `ResolvedInput` (Its values)."""

    what: str
    """Dotted name of the value. At most 200 characters."""

    value: Number
    """In the unit of the line, whatever the units of the request. Unit: unit of the line. -1e+12 to 1e+12."""

    unit: Literal["g", "mL", "mm", "g/mL", "mg KOH/g", "%", "% of the bar as cut", "bars"]
    """Its unit."""

    rests_on: Literal["request", "table", "assumed", "computed", "coop"]
    """Where it comes from."""


class ResolvedInput(TypedDict):
    """`compare_to` of `BatchesRequest` (`resolved` of an earlier plan, to compare this one with)."""

    identity: str
    """Of that plan. At most 200 characters."""

    request: str
    """Of its request alone. At most 200 characters."""

    version: str
    """Version of the service then. At most 200 characters."""

    data_version: str
    """Version of the tables then. At most 200 characters."""

    lines: Sequence[ResolvedLineInput]
    """Its values. 1 to 800 items."""


class BatchesRequest(TypedDict):
    """The arguments of `batches`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    recipe: RecipeInput
    """By share: the mould gives the size. By mass: it must fit."""

    mould: MouldInput
    """A mould."""

    portions: NotRequired[Sequence[PortionInput]]
    """Buckets in pour order, from the bottom; default one portion. 1 to 60 items."""

    additions: NotRequired[Sequence[AdditionInput]]
    """The batch's own, into the pot. At most 40 items."""

    residue: NotRequired[ResidueInput]
    """What stays behind."""

    arrangement: NotRequired[Literal["layers", "columns", "mingled", "separate"]]
    """How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but no
    heights), separate (one per cavity).
    """

    fade: NotRequired[BatchFadeInput]
    """Doses of a colourant for the portions, from your own swatches."""

    cut: NotRequired[CutInput]
    """How the block is cut; for a box mould."""

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all water of
    batter and additions is lost. Unit: %. 0 to 60.
    """

    batter_density: NotRequired[Number]
    """Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10."""

    overflow_mould: NotRequired[MouldInput]
    """Takes what is above the mould's fill limit; for fats by mass."""

    pot_volume: NotRequired[Number]
    """Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
    `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
    """

    workings: NotRequired[bool]
    """The calculation of the lye line by line, in grams."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; the recipe names them by their keys. At most 200 items."""

    title: NotRequired[str]
    """What you call the soap: for sheet, label draft, calendar and file names; no figure depends on it. At most 200
    characters.
    """

    maker: NotRequired[str]
    """Who makes it, for the sheet. At most 200 characters."""

    notes: NotRequired[Sequence[str]]
    """Yours, for the sheet, line by line. At most 12 items; each at most 200 characters."""

    batch_number: NotRequired[str]
    """Yours, for sheet and label. At most 200 characters."""

    dates: NotRequired[DatesInput]
    """By its release or its pour."""

    label: NotRequired[LabelInput]
    """What you want on its label."""

    prices: NotRequired[PricesInput]
    """Prices, packaging, work, losses, and how a bar is to be priced."""

    resolved: NotRequired[bool]
    """Return `resolved`: every value the plan rests on."""

    compare_to: NotRequired["ResolvedInput | ResolvedValues"]
    """`resolved` of an earlier plan, to compare this one with."""


class WeighedRowInput(TypedDict):
    """`weighed[]` of `ActualsRequest` (Rows as you really weighed them, 0 if you forgot one; rows you do not report
    count as planned), and 1 more.
    """

    where: str
    """As in the weigh list. At most 200 characters."""

    portion: NotRequired[str]
    """As in the weigh list, if that row has one. At most 200 characters."""

    kind: NotRequired[str]
    """As in the weigh list; needed only if two rows differ in nothing else, such as the two of a jar. At most 200
    characters.
    """

    key: str
    """As in the weigh list; from stage in_pot on also "lye" in "pot": the part of the lye that went in. At most 200
    characters.
    """

    mass: Number
    """What the scale showed; later additions to the same row are summed. Unit: in the unit of that row of the weigh
    list. 0 to 1,000,000.
    """

    lot: NotRequired[str]
    """Lot that was used; it distinguishes rows with the same key. At most 200 characters."""


class BarsCutInput(TypedDict):
    """`bars` of `ActualsRequest` (At stage cut)."""

    count: Whole
    """Good ones. Unit: bars. 0 to 100,000."""

    masses: NotRequired[Sequence[Number]]
    """Of all or some of them, fresh. Unit: `units.mass`, g if not set. At most 5000 items; each more than 0 to
    1,000,000 (in the unit where the range is widest).
    """


class CorrectionInput(TypedDict):
    """`corrections[]` of `RecordInput` (What was put right, and why)."""

    what: str
    """What was done. At most 200 characters."""

    reason: str
    """Why. At most 200 characters."""


class RecordInput(TypedDict):
    """`record` of `ActualsRequest` (What only you know of the batch: for the record (format=html))."""

    made_on: NotRequired[Day]
    """Day it was poured; the days of the record follow from it. A date such as 2027-03-20."""

    made_by: NotRequired[str]
    """Who made it. At most 200 characters."""

    checked_by: NotRequired[str]
    """Who checked the weighings. At most 200 characters."""

    corrections: NotRequired[Sequence[CorrectionInput]]
    """What was put right, and why. At most 50 items."""


class ActualsRequest(TypedDict):
    """The arguments of `actuals`."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of the texts in the response; numbers in JSON and problems do not change. Default en, whatever the plan
    has.
    """

    plan: BatchesRequest
    """The body of /v1/batches, as it was sent."""

    identity: str
    """Of the plan, as in the response of /v1/batches. At most 200 characters."""

    data_version: NotRequired[str]
    """Of the plan, from its meta; used only to report that nothing but the data has changed. At most 200 characters."""

    stage: Literal["fats", "lye_made", "in_pot", "poured", "cut"]
    """How far the batch has come. fats: they are in the pot, no lye is made; lye_made; in_pot: fats, lye and the
    batch's additions; poured: buckets; cut.
    """

    mix: NotRequired[Whole]
    """Which mix the rows are from; needed until stage in_pot if the pot takes several mixes. Unit: number, from 1. 1 to
    20.
    """

    weighed: NotRequired[Sequence[WeighedRowInput]]
    """Rows as you really weighed them, 0 if you forgot one; rows you do not report count as planned. At most 1000
    items.
    """

    rescue_with: NotRequired[str]
    """Key or name of the fat to add if one is needed; the first of the recipe if not given. At most 200 characters."""

    bars: NotRequired[BarsCutInput]
    """At stage cut."""

    weighings: NotRequired[Sequence[WeighingInput]]
    """Of a bar in cure, at stage cut: three or more give its drying curve. 1 to 200 items."""

    record: NotRequired[RecordInput]
    """What only you know of the batch: for the record (format=html)."""


class OffcutsInput(TypedDict):
    """`offcuts[]` of `RebatchesRequest` (Batch by batch). Give exactly one of `days` or `lost_pct`."""

    plan: BatchesRequest
    """Body of /v1/batches, as it was sent."""

    weighed: NotRequired[Sequence[WeighedRowInput]]
    """Rows weighed otherwise than planned. At most 1000 items."""

    portion: NotRequired[str]
    """Portion they were cut from; default the whole batch. At most 200 characters."""

    mass: Number
    """What they weigh now. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    days: NotRequired[Number]
    """Since the pour; the water left is estimated from them. Unit: days. 0 to 1,500."""

    lost_pct: NotRequired[Number]
    """Loss so far: weigh a piece fresh and again now. Unit: %. 0 to 60."""


class MeltingLiquidInput(TypedDict):
    """`liquid` of `RebatchesRequest` (Default water, in the usual amount). Do not give `mass` and `pct_of_offcuts`
    together.
    """

    name: NotRequired[str]
    """Default water. At most 200 characters."""

    mass: NotRequired[Number]
    """Its mass. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range is widest)."""

    pct_of_offcuts: NotRequired[Number]
    """Or its share. Unit: % of the offcuts. 0 to 100."""

    water_pct: NotRequired[Number]
    """Water in it; needed unless it is water. Unit: % by mass. 0 to 100."""


class RebatchesRequest(TypedDict):
    """The arguments of `rebatches`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    offcuts: Sequence[OffcutsInput]
    """Batch by batch. 1 to 6 items."""

    mould: MouldInput
    """A mould."""

    label: LabelInput
    """The market, and what you want on the label."""

    liquid: NotRequired[MeltingLiquidInput]
    """Default water, in the usual amount."""

    additions: NotRequired[Sequence[AdditionInput]]
    """Stirred into the melted soap. Doses count its mass as batter and the fats in it as fats. Oil in an addition gets
    no alkali. At most 40 items.
    """

    residue: NotRequired[Number]
    """Sticks to the pot; default 0. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    melting_loss_pct: NotRequired[Number]
    """Evaporates while it melts; default 1 to 6 (common practice, no source). Unit: % of the pot. 0 to 60."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure. Unit: % of a bar as cut. 0 to 60."""

    cut: NotRequired[CutInput]
    """How the block is cut; for a box mould."""

    dates: NotRequired[DatesInput]
    """From the day of the release or of the pour."""

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""


class LabelsRequest(TypedDict):
    """The arguments of `labels`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    recipe: RecipeInput
    """By share: the mould gives the size. By mass: it must fit."""

    mould: MouldInput
    """A mould."""

    portions: NotRequired[Sequence[PortionInput]]
    """Buckets in pour order, from the bottom; default one portion. 1 to 60 items."""

    additions: NotRequired[Sequence[AdditionInput]]
    """The batch's own, into the pot. At most 40 items."""

    residue: NotRequired[ResidueInput]
    """What stays behind."""

    arrangement: NotRequired[Literal["layers", "columns", "mingled", "separate"]]
    """How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but no
    heights), separate (one per cavity).
    """

    fade: NotRequired[BatchFadeInput]
    """Doses of a colourant for the portions, from your own swatches."""

    cut: NotRequired[CutInput]
    """How the block is cut; for a box mould."""

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all water of
    batter and additions is lost. Unit: %. 0 to 60.
    """

    batter_density: NotRequired[Number]
    """Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10."""

    overflow_mould: NotRequired[MouldInput]
    """Takes what is above the mould's fill limit; for fats by mass."""

    pot_volume: NotRequired[Number]
    """Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
    `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
    """

    workings: NotRequired[bool]
    """The calculation of the lye line by line, in grams."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; the recipe names them by their keys. At most 200 items."""

    label: LabelInput
    """What you want on the label."""


class CostRowInput(TypedDict):
    """`rows[]` of `CostsRequest` (In place of recipe and mould: what goes into the batch)."""

    key: NotRequired[str]
    """Key of its price; default a slug of the name. At most 200 characters."""

    name: str
    """Name. At most 200 characters."""

    mass: Number
    """How much goes into the batch. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the
    range is widest).
    """


class CostsRequest(TypedDict):
    """The arguments of `costs`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    recipe: NotRequired[RecipeInput]
    """By share: the mould gives the size. By mass: it must fit."""

    mould: NotRequired[MouldInput]
    """A mould."""

    portions: NotRequired[Sequence[PortionInput]]
    """Buckets in pour order, from the bottom; default one portion. 1 to 60 items."""

    additions: NotRequired[Sequence[AdditionInput]]
    """The batch's own, into the pot. At most 40 items."""

    residue: NotRequired[ResidueInput]
    """What stays behind."""

    arrangement: NotRequired[Literal["layers", "columns", "mingled", "separate"]]
    """How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but no
    heights), separate (one per cavity).
    """

    fade: NotRequired[BatchFadeInput]
    """Doses of a colourant for the portions, from your own swatches."""

    cut: NotRequired[CutInput]
    """How the block is cut; for a box mould."""

    scale: NotRequired[ScaleSteps]
    """Steps of the scales."""

    expected_loss_pct: NotRequired[Number]
    """Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all water of
    batter and additions is lost. Unit: %. 0 to 60.
    """

    batter_density: NotRequired[Number]
    """Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10."""

    overflow_mould: NotRequired[MouldInput]
    """Takes what is above the mould's fill limit; for fats by mass."""

    pot_volume: NotRequired[Number]
    """Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
    `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
    """

    workings: NotRequired[bool]
    """The calculation of the lye line by line, in grams."""

    own_fats: NotRequired[Sequence[OwnFatInput]]
    """Fats of your own; the recipe names them by their keys. At most 200 items."""

    rows: NotRequired[Sequence[CostRowInput]]
    """In place of recipe and mould: what goes into the batch. 1 to 300 items."""

    prices: PricesInput
    """Prices, packaging, work, losses, and how a bar is to be priced."""


class NeedInput(TypedDict):
    """`needs[]` of `PurchasesRequest` (What is needed). Give exactly one of `mass` or `count`."""

    key: NotRequired[str]
    """Key of its packs; default that of the fat with this name, else a slug of the name. At most 200 characters."""

    name: str
    """Name. At most 200 characters."""

    mass: NotRequired[Number]
    """How much; this or count. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range
    is widest).
    """

    count: NotRequired[Whole]
    """How many, of what is bought by the count, such as wraps. Unit: pieces. 1 to 1,000,000."""


class WeighRowInput(TypedDict):
    """`weigh_list[]` of `BatchNeedInput` (As in the response of /v1/batches or /v1/lye, in any language)."""

    kind: Literal[
        "water", "ice", "alkali", "stock", "acid", "liquid", "fat", "addition", "carrier", "dispersion", "batter",
        "dusting", "spray", "kept_back",
    ]
    """What it is; dispersion, batter and kept_back are made from other rows, not bought."""

    where: NotRequired[Literal["jug", "pot", "jar", "bucket", "mould", "aside"]]
    """Not used here."""

    portion: NotRequired[str]
    """Not used here. At most 200 characters."""

    key: NotRequired[str]
    """Not used here. At most 200 characters."""

    name: str
    """Name. At most 200 characters."""

    form: NotRequired[str]
    """Not used here. At most 200 characters."""

    lot: NotRequired[str]
    """Not used here. At most 200 characters."""

    weigh: Number
    """On the scale. Unit: in this row's unit. 0 to 1,000,000."""

    step: NotRequired[Number]
    """Step of the scale; not used here. Unit: in this row's unit. 0 to 1,000,000."""

    unit: Literal["g", "kg", "oz", "lb"]
    """Unit of this row."""

    each_mix: NotRequired[Number]
    """Not used here. Unit: in this row's unit. 0 to 1,000,000."""

    take: NotRequired[Number]
    """Not used here. Unit: in this row's unit. 0 to 1,000,000."""

    buy: NotRequired[str]
    """Key of its packs; needed in every row of something that you buy. At most 200 characters."""


class BarsOrderInput(TypedDict):
    """`order` of `BatchNeedInput` (In place of batches_count: as often as an order of bars needs)."""

    bars_count: Whole
    """Good bars needed. Unit: bars. 1 to 100,000."""

    bars_per_batch_count: Whole
    """Bars per batch. Unit: bars. 1 to 100,000."""

    broken_pct: NotRequired[Number]
    """Bars that break or fail; default 0. Unit: % of bars made. 0 to 99."""

    kept_back_count: NotRequired[Whole]
    """Good bars of each batch that are not sold, as in prices; default 0. Unit: bars. 0 to 100,000."""


class BatchNeedInput(TypedDict):
    """`batches[]` of `PurchasesRequest` (What batches need, by their weigh lists; adds to needs). Do not give
    `batches_count` and `order` together.
    """

    weigh_list: Sequence["WeighRowInput | WeighListRow"]
    """As in the response of /v1/batches or /v1/lye, in any language. 1 to 300 items."""

    batches_count: NotRequired[Whole]
    """How often it is made; default 1. Unit: batches. 1 to 10,000."""

    order: NotRequired[BarsOrderInput]
    """In place of batches_count: as often as an order of bars needs."""


class PackPriceInput(TypedDict):
    """`price` of `PackInput` (Of a whole pack; per_mass or per_count is what is in it). Give exactly one of `per_mass`
    or `per_count`.
    """

    amount: str
    """Amount, as decimal text. At most 200 characters."""

    currency: str
    """ISO 4217. At most 200 characters."""

    per_mass: NotRequired[Number]
    """What is in it; this or per_count. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where
    the range is widest).
    """

    per_count: NotRequired[Whole]
    """Pieces in it, of what is bought by the count. Unit: pieces. 1 to 1,000,000."""


class PackInput(TypedDict):
    """`packs[]` of `PurchasesRequest` (What is sold, in one currency)."""

    key: str
    """Key of the ingredient in it, or name of a fat. At most 200 characters."""

    name: NotRequired[str]
    """For your own use. At most 200 characters."""

    price: PackPriceInput
    """Of a whole pack; per_mass or per_count is what is in it."""

    supplier: NotRequired[str]
    """Who sells it. At most 200 characters."""

    at_most: NotRequired[Whole]
    """How many may be bought; default any number. Unit: packs. 1 to 100,000."""


class AtHandInput(TypedDict):
    """`at_hand[]` of `PurchasesRequest` (What you have; it is used first). Give exactly one of `mass` or `count`."""

    key: str
    """Key, or name of a fat. At most 200 characters."""

    mass: NotRequired[Number]
    """How much; this or count. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range is
    widest).
    """

    count: NotRequired[Whole]
    """How many, of what is bought by the count. Unit: pieces. 0 to 1,000,000."""


class SupplierInput(TypedDict):
    """`suppliers[]` of `PurchasesRequest` (Terms of suppliers; if you give any, list every supplier that a pack names).
    """

    name: str
    """As packs name it. At most 200 characters."""

    shipping: NotRequired[MoneyInput]
    """Of an order; default free."""

    free_from: NotRequired[MoneyInput]
    """Value of goods from which shipping is free."""

    minimum_order: NotRequired[MoneyInput]
    """Smallest value of goods in an order."""


class PurchasesRequest(TypedDict):
    """The arguments of `purchases`."""

    units: NotRequired[UnitsChoice]
    """Units that govern the request and the response."""

    locale: NotRequired[Literal["en", "de"]]
    """Language of sentences and of the sheet; default en."""

    needs: NotRequired[Sequence[NeedInput]]
    """What is needed. At most 300 items."""

    batches: NotRequired[Sequence[BatchNeedInput]]
    """What batches need, by their weigh lists; adds to needs. At most 40 items."""

    packs: Sequence[PackInput]
    """What is sold, in one currency. At most 600 items."""

    at_hand: NotRequired[Sequence[AtHandInput]]
    """What you have; it is used first. At most 300 items."""

    suppliers: NotRequired[Sequence[SupplierInput]]
    """Terms of suppliers; if you give any, list every supplier that a pack names. At most 8 items."""
