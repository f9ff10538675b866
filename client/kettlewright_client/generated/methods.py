"""A method for each operation. Written by `make contract` from openapi.yaml; do not edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, overload

from kettlewright_client.forms import as_text
from kettlewright_client.keywords import checked

if TYPE_CHECKING:
    from typing import Unpack

    from kettlewright_client.inputs import (
        AcidInput,
        ActualsRequest,
        AdditionInput,
        AlkaliInput,
        AtHandInput,
        BarInput,
        BarsCutInput,
        BatchFadeInput,
        BatchNeedInput,
        BatchOfDesignInput,
        BatchesRequest,
        BatterInput,
        BlendsRequest,
        BlockInput,
        ClosedInput,
        CostRowInput,
        CostsRequest,
        CureRequest,
        CutInput,
        CutsRequest,
        DatesInput,
        Day,
        DayOfCureInput,
        ExtraColourInput,
        FadePortionInput,
        FadesRequest,
        FatAtHandInput,
        FatInput,
        FillInput,
        LabelInput,
        LabelsRequest,
        LiquidInput,
        LoafInput,
        LyeRequest,
        MeltingLiquidInput,
        MouldAtHandInput,
        MouldInput,
        MouldKindInput,
        MouldsRequest,
        NeedInput,
        Number,
        ObjectiveInput,
        OffcutsInput,
        OrderInput,
        OtherEndInput,
        OwnFatInput,
        PackInput,
        PlacesInput,
        PortionInput,
        PortionsRequest,
        PriceInput,
        PricesInput,
        PromiseInput,
        PurchasesRequest,
        RebatchesRequest,
        RecipeInput,
        RecordInput,
        ReleaseInput,
        ResidueInput,
        ResolvedInput,
        ScaleSteps,
        ScalingRequest,
        SchedulesRequest,
        SupplierInput,
        SwatchInput,
        TargetInput,
        TemperaturesInput,
        ToleranceInput,
        TrimInput,
        UnitsChoice,
        UntilInput,
        WaterInput,
        WeighedRowInput,
        WeighingInput,
        Whole,
        WishInput,
    )
    from kettlewright_client.results import (
        Actuals,
        Batch,
        Blend,
        Cautions,
        Costs,
        Cure,
        Cuts,
        Fade,
        FatEntry,
        Fats,
        Labels,
        Lye,
        Mould,
        Portions,
        Purchases,
        Rebatches,
        ResolvedValues,
        Scaled,
        Schedule,
        Sources,
        State,
        Version,
    )
    from kettlewright_client.values import Text, Timeout

__all__ = ["Methods"]


class Methods:
    """One method for each operation, with keyword arguments named as in the contract."""

    def _call(self, operation: str, word: str, body: Any, address: Mapping[str, Any], timeout: Timeout | None,
              headers: Mapping[str, str] | None) -> Any:
        raise NotImplementedError

    @checked
    def lye(self, *, fats: Sequence[FatInput], alkalis: Sequence[AlkaliInput], water: WaterInput,
            units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
            superfat_pct: Number | None = None, superfat_at_least_pct: Number | None = None,
            acids: Sequence[AcidInput] | None = None, liquids: Sequence[LiquidInput] | None = None,
            temperatures: TemperaturesInput | None = None, scale: ScaleSteps | None = None,
            batter_density: Number | None = None, expected_loss_pct: Number | None = None, workings: bool | None = None,
            own_fats: Sequence[OwnFatInput] | None = None, timeout: Timeout | None = None,
            headers: Mapping[str, str] | None = None) -> Lye:
        """What to weigh for a recipe.

        Alkali, water and acids for fats by mass; the superfat and its ranges; the lye, the soap and the batter. `mass`
        is exact, `weigh` is what the scale shows. Alkali is computed from the weighed fats and rounded down, so the
        superfat is never below the one you set. Give exactly one of `superfat_pct` or `superfat_at_least_pct`.

        Parameters
        ----------
        fats : sequence of FatInput
            The fats. 1 to 60 items.
        alkalis : sequence of AlkaliInput
            One alkali, or both with shares. 1 to 2 items.
        water : WaterInput
            How much water.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        superfat_pct : Number, optional
            Share of the fats' alkali that is left out, counted at the middle of each range; this or
            superfat_at_least_pct. Unit: %. 0 to 50.
        superfat_at_least_pct : Number, optional
            In place of superfat_pct: a minimum over the whole declared range, scale errors included. Unit: %. 0 to 50.
        acids : sequence of AcidInput, optional
            Acids; they consume alkali. At most 13 items.
        liquids : sequence of LiquidInput, optional
            Liquids in place of part of the water. At most 20 items.
        temperatures : TemperaturesInput, optional
            Temperatures, where known.
        scale : ScaleSteps, optional
            Steps of the scales.
        batter_density : Number, optional
            Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of a whole bar as cut: for the total fatty matter of the cured bar.
            Unit: %. 0 to 60.
        workings : bool, optional
            The calculation of the lye line by line, in grams.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; the recipe names them by their keys. At most 200 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Lye

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Lye = self._call(
            "lye", "json",
            {"fats": fats, "alkalis": alkalis, "water": water, "units": units, "locale": locale, "superfat_pct":
            superfat_pct, "superfat_at_least_pct": superfat_at_least_pct, "acids": acids, "liquids": liquids,
            "temperatures": temperatures, "scale": scale, "batter_density": batter_density, "expected_loss_pct":
            expected_loss_pct, "workings": workings, "own_fats": own_fats},
            {},
            timeout, headers)
        return found

    @checked
    def scaling(self, *, recipe: RecipeInput, target: TargetInput, units: UnitsChoice | None = None,
                locale: Literal["en", "de"] | None = None, additions: Sequence[AdditionInput] | None = None,
                scale: ScaleSteps | None = None, batter_density: Number | None = None,
                expected_loss_pct: Number | None = None, workings: bool | None = None,
                own_fats: Sequence[OwnFatInput] | None = None, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None) -> Scaled:
        """A recipe at another size.

        Fats and acids are multiplied by one factor. Alkali and water are computed again, never scaled. Fats are rounded
        down to the step of the scale, so that the pour does not overfill.

        Parameters
        ----------
        recipe : RecipeInput
            By mass or by share.
        target : TargetInput
            The new size.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        additions : sequence of AdditionInput, optional
            Of the whole batch: they take room in a mould, and one of them may be the limiting ingredient. At most 40
            items.
        scale : ScaleSteps, optional
            Steps of the scales.
        batter_density : Number, optional
            Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of a whole bar as cut: for the total fatty matter of the cured bar.
            Unit: %. 0 to 60.
        workings : bool, optional
            The calculation of the lye line by line, in grams.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; the recipe names them by their keys. At most 200 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Scaled

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Scaled = self._call(
            "scaling", "json",
            {"recipe": recipe, "target": target, "units": units, "locale": locale, "additions": additions, "scale":
            scale, "batter_density": batter_density, "expected_loss_pct": expected_loss_pct, "workings": workings,
            "own_fats": own_fats},
            {},
            timeout, headers)
        return found

    @checked
    def moulds(self, *, units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
               mould: MouldInput | None = None, fill: FillInput | None = None,
               moulds: Sequence[MouldAtHandInput] | None = None, order: OrderInput | None = None,
               objective: Literal["least_left_over", "fewest_pours"] | None = None, timeout: Timeout | None = None,
               headers: Mapping[str, str] | None = None) -> Mould:
        """What a mould holds.

        Volume and surfaces up to the headspace and to the rim, and the depth of a given volume or mass. Volumes, masses
        and areas are for all cavities together, depths and heights for each. With `moulds` and an `order` in place of
        `mould`: which of your moulds to fill, and how often. Give exactly one of `mould` or `moulds`. `moulds` needs
        `order`. `order` needs `moulds`. `fill` needs `mould`. `objective` needs `moulds`.

        Parameters
        ----------
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        mould : MouldInput, optional
            A mould.
        fill : FillInput, optional
            How far to fill the mould.
        moulds : sequence of MouldAtHandInput, optional
            In place of mould: those at hand. 1 to 40 items.
        order : OrderInput, optional
            With moulds: how much to mould.
        objective : "least_left_over", "fewest_pours", optional
            With moulds: least batter left over (default), or fewest pours.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Mould

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Mould = self._call(
            "moulds", "json",
            {"units": units, "locale": locale, "mould": mould, "fill": fill, "moulds": moulds, "order": order,
            "objective": objective},
            {},
            timeout, headers)
        return found

    @checked
    def portions(self, *, batter: BatterInput, portions: Sequence[PortionInput], units: UnitsChoice | None = None,
                 locale: Literal["en", "de"] | None = None, additions: Sequence[AdditionInput] | None = None,
                 residue: ResidueInput | None = None, mould: MouldInput | None = None,
                 arrangement: Literal["layers", "columns", "mingled", "separate"] | None = None,
                 scale: ScaleSteps | None = None, expected_loss_pct: Number | None = None,
                 timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Portions:
        """What goes into each bucket.

        Divides a batter: plain batter, additions and powders to weigh, and the position of each layer. The weighings
        add up to the pot less its residue, rounded down to the step of the scale.

        Parameters
        ----------
        batter : BatterInput
            The batter before any addition.
        portions : sequence of PortionInput
            Buckets, in pour order from the bottom. 1 to 60 items.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        additions : sequence of AdditionInput, optional
            The batch's own, into the pot. At most 40 items.
        residue : ResidueInput, optional
            What stays behind.
        mould : MouldInput, optional
            Where it goes; layers and powders need it.
        arrangement : "layers", "columns", "mingled", "separate", optional
            How the portions lie: flat layers (if not given); columns between upright dividers; mingled: swirled, masses
            but no heights; separate: one per cavity.
        scale : ScaleSteps, optional
            Steps of the scales.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of a whole piece as cut, additions included; a limit needs it. Unit: %.
            0 to 60.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Portions

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Portions = self._call(
            "portions", "json",
            {"batter": batter, "portions": portions, "units": units, "locale": locale, "additions": additions,
            "residue": residue, "mould": mould, "arrangement": arrangement, "scale": scale, "expected_loss_pct":
            expected_loss_pct},
            {},
            timeout, headers)
        return found

    @checked
    def fades(self, *, swatches: Sequence[SwatchInput], portions: Sequence[FadePortionInput],
              kind: Literal["mineral", "plant", "white", "mica", "other"] | None = None,
              steps: Literal["ciede2000", "lightness"] | None = None, curve: Sequence[Number] | None = None,
              doses: Sequence[Number] | None = None, darkest_dose: Number | None = None,
              lightest_dose: Number | None = None, other: OtherEndInput | None = None, carry_over: bool | None = None,
              units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
              dispersion_pct: Number | None = None, price: PriceInput | None = None,
              more: ExtraColourInput | None = None, timeout: Timeout | None = None,
              headers: Mapping[str, str] | None = None) -> Fade:
        """Doses so that a colour fades in even steps.

        From your own swatches (dose and measured colour) the service fits Kubelka-Munk in linear light with a monotone
        curve. You get the doses of a fade in equal steps, the colours of given doses, how much more colourant a bucket
        needs, and how much of each batter to keep to colour the next. With two swatches the curve is assumed straight.
        It is valid only between the swatches, and only for soap made as they were.

        Parameters
        ----------
        swatches : sequence of SwatchInput
            Of one colourant, made alike: one plain and one dyed are enough. 1 to 40 items.
        portions : sequence of FadePortionInput
            The darkest first; with `other` from one end to the other. At most 60 items.
        kind : "mineral", "plant", "white", "mica", "other", optional
            Kind of colourant; the notes depend on it.
        steps : "ciede2000", "lightness", optional
            Equal steps of CIEDE2000 (if not given) or of L*.
        curve : sequence of Number, optional
            In place of equal steps: lightness of each portion, rising from 0 (darkest) to 1 (lightest). Unit: 1. At
            most 40 items; each 0 to 1.
        doses : sequence of Number, optional
            In place of steps: your own doses; only their colours are predicted. Unit: g per kg of batter. At most 40
            items; each 0 to 500.
        darkest_dose : Number, optional
            Default the darkest swatch's. Unit: g per kg of batter. 0 to 500.
        lightest_dose : Number, optional
            Default the lightest swatch's. Unit: g per kg of batter. 0 to 500.
        other : OtherEndInput, optional
            The other end of a fade from one colour through plain to another.
        carry_over : bool, optional
            Also how much of each batter to keep to colour the next; needs the masses of all portions.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        dispersion_pct : Number, optional
            Colourant in the dispersion it is weighed as. Unit: % by mass. 0.01 to 100.
        price : PriceInput, optional
            Of the colourant: the response then has the cost of the fade beside that of equal dose steps.
        more : ExtraColourInput, optional
            How much more a bucket needs.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Fade

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Fade = self._call(
            "fades", "json",
            {"swatches": swatches, "portions": portions, "kind": kind, "steps": steps, "curve": curve, "doses": doses,
            "darkest_dose": darkest_dose, "lightest_dose": lightest_dose, "other": other, "carry_over": carry_over,
            "units": units, "locale": locale, "dispersion_pct": dispersion_pct, "price": price, "more": more},
            {},
            timeout, headers)
        return found

    @checked
    def cuts(self, *, bar: BarInput, block: BlockInput, units: UnitsChoice | None = None,
             locale: Literal["en", "de"] | None = None, loaf: LoafInput | None = None, kerf: Number | None = None,
             trim: TrimInput | None = None, tolerance: ToleranceInput | None = None, planing: Number | None = None,
             bevel: Number | None = None, density: Number | None = None, expected_loss_pct: Number | None = None,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Cuts:
        """A block cut into loaves and bars.

        How many bars, their size, where to cut, the mass of a bar within the tolerance of the cut, and every offcut.
        Bars, offcuts, kerf and shavings add up to the block.

        Parameters
        ----------
        bar : BarInput
            The bars.
        block : BlockInput
            The block.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        loaf : LoafInput, optional
            The loaves; without it the block is one loaf, untrimmed across.
        kerf : Number, optional
            Width of a cut; default 0. Unit: `units.length`, mm if not set. 0 to 100 (in the unit where the range is
            widest).
        trim : TrimInput, optional
            Cut off the ends first.
        tolerance : ToleranceInput, optional
            Tolerances of the cuts.
        planing : Number, optional
            Taken off the top of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0 to 100 (in
            the unit where the range is widest).
        bevel : Number, optional
            Leg of the bevel on all edges of each bar; of box-shaped bars only. Unit: `units.length`, mm if not set. 0
            to 100 (in the unit where the range is widest).
        density : Number, optional
            Of the block; masses need it. Unit: g/mL. 0.05 to 10.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of a whole bar as cut. Unit: %. 0 to 60.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Cuts

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Cuts = self._call(
            "cuts", "json",
            {"bar": bar, "block": block, "units": units, "locale": locale, "loaf": loaf, "kerf": kerf, "trim": trim,
            "tolerance": tolerance, "planing": planing, "bevel": bevel, "density": density, "expected_loss_pct":
            expected_loss_pct},
            {},
            timeout, headers)
        return found

    @checked
    def cure(self, *, units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
             name: str | None = None, dates: DatesInput | None = None, weighings: Sequence[WeighingInput] | None = None,
             on: Sequence[DayOfCureInput] | None = None, until: UntilInput | None = None,
             promise: PromiseInput | None = None, batter_mass: Number | None = None, water_mass: Number | None = None,
             expected_loss_pct: Number | None = None, stamp: Day | None = None, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None) -> Cure:
        """Dates of one batch, its drying curve, and the mass of a bar on a day.

        Backward from a release or forward from a pour: the days of pouring, unmoulding and cutting, curing and packing.
        From your own weighings: a drying curve with its uncertainty, the mass on any day, when the bar is dry, and the
        wet mass for a promised mass. Without weighings you get only the largest possible loss and common practice.
        Curing is not only drying.

        Parameters
        ----------
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        name : str, optional
            Your name for the batch; it appears in the calendar. At most 200 characters.
        dates : DatesInput, optional
            Its release or its pour: gives its dates. With weighings by day, day 0 is the day of the cut.
        weighings : sequence of WeighingInput, optional
            Three give a curve; four or more also give its error. 1 to 200 items.
        on : sequence of DayOfCureInput, optional
            Days on which the mass is wanted; needs weighings. At most 100 items.
        until : UntilInput, optional
            When a bar is dry; needs weighings.
        promise : PromiseInput, optional
            Wet mass to make for a mass on the day.
        batter_mass : Number, optional
            The whole batter; with water_mass the most a bar can lose. Unit: `units.mass`, g if not set. More than 0 to
            1,000,000 (in the unit where the range is widest).
        water_mass : Number, optional
            The water in it. Unit: `units.mass`, g if not set. More than 0 to 1,000,000 (in the unit where the range is
            widest).
        expected_loss_pct : Number, optional
            Loss given in place of weighings, for a promise. Unit: % of the fresh mass. 0 to 60.
        stamp : Day, optional
            Date stamp of the calendar file; default the day of the pour. A date such as 2027-03-20.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Cure

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Cure = self._call(
            "cure", "json",
            {"units": units, "locale": locale, "name": name, "dates": dates, "weighings": weighings, "on": on, "until":
            until, "promise": promise, "batter_mass": batter_mass, "water_mass": water_mass, "expected_loss_pct":
            expected_loss_pct, "stamp": stamp},
            {},
            timeout, headers)
        return found

    @checked
    def schedules(self, *, batches: Sequence[BatchOfDesignInput], moulds: Sequence[MouldKindInput], earliest: Day,
                  units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
                  releases: Sequence[ReleaseInput] | None = None, pours_per_day_count: Whole | None = None,
                  places: PlacesInput | None = None, closed: ClosedInput | None = None,
                  objective: Literal["late_pours", "early_pours"] | None = None, stamp: Day | None = None,
                  timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Schedule:
        """A calendar of several batches before their releases.

        On which day to pour each batch so that it is cured and packed for its release, within the pours per day, the
        moulds, the places for curing bars and the open days. If there is no such calendar, the problem says how many
        batches fit, and what one more of each thing would change. Solved exactly for up to 1,000 possible pour days,
        within a limit of nodes; proven_optimal says whether the result is proven.

        Parameters
        ----------
        batches : sequence of BatchOfDesignInput
            What is made. 1 to 40 items.
        moulds : sequence of MouldKindInput
            What there is to pour into. 1 to 12 items.
        earliest : Day
            No pour before this day, for example today. A date such as 2027-03-20.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        releases : sequence of ReleaseInput, optional
            Releases with a name. At most 20 items.
        pours_per_day_count : Whole, optional
            Batches that can be poured on one day; default 1. Unit: batches. 1 to 100.
        places : PlacesInput, optional
            Room for curing; default unlimited.
        closed : ClosedInput, optional
            When nobody pours, cuts, packs or sells.
        objective : "late_pours", "early_pours", optional
            Pours as late as possible (default): bars are fresh, money is tied up briefly; or as early as possible: time
            to spare.
        stamp : Day, optional
            Date stamp of the calendar file; default the earliest day. A date such as 2027-03-20.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Schedule

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Schedule = self._call(
            "schedules", "json",
            {"batches": batches, "moulds": moulds, "earliest": earliest, "units": units, "locale": locale, "releases":
            releases, "pours_per_day_count": pours_per_day_count, "places": places, "closed": closed, "objective":
            objective, "stamp": stamp},
            {},
            timeout, headers)
        return found

    @checked
    def blends(self, *, fats: Sequence[FatAtHandInput], objective: ObjectiveInput, units: UnitsChoice | None = None,
               locale: Literal["en", "de"] | None = None, wishes: Sequence[WishInput] | None = None,
               recipe: RecipeInput | None = None, fats_mass: Number | None = None, scale: ScaleSteps | None = None,
               own_fats: Sequence[OwnFatInput] | None = None, timeout: Timeout | None = None,
               headers: Mapping[str, str] | None = None) -> Blend:
        """Shares of the fats at hand, within your limits.

        A linear program finds the cheapest blend, the blend closest to a recipe in fatty acids, a replacement for one
        fat of a recipe, or the least or most of a fat. If no blend meets your limits, the problem names the smallest
        change that would make one possible. Plain chemistry at the middle of each range, no scores.

        Parameters
        ----------
        fats : sequence of FatAtHandInput
            The fats at hand. 1 to 60 items.
        objective : ObjectiveInput
            What to optimise.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        wishes : sequence of WishInput, optional
            Constraints on the blend. At most 60 items.
        recipe : RecipeInput, optional
            Recipe that closest and replace compare with; its lye is computed again for the blend.
        fats_mass : Number, optional
            All fats; stock needs it, and a recipe by shares for its lye. Unit: `units.mass`, g if not set. More than 0
            to 1,000,000 (in the unit where the range is widest).
        scale : ScaleSteps, optional
            Steps of the scales.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; fats and recipe name them by their keys. At most 200 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Blend

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Blend = self._call(
            "blends", "json",
            {"fats": fats, "objective": objective, "units": units, "locale": locale, "wishes": wishes, "recipe":
            recipe, "fats_mass": fats_mass, "scale": scale, "own_fats": own_fats},
            {},
            timeout, headers)
        return found

    @checked
    def batches(self, *, recipe: RecipeInput, mould: MouldInput, units: UnitsChoice | None = None,
                locale: Literal["en", "de"] | None = None, portions: Sequence[PortionInput] | None = None,
                additions: Sequence[AdditionInput] | None = None, residue: ResidueInput | None = None,
                arrangement: Literal["layers", "columns", "mingled", "separate"] | None = None,
                fade: BatchFadeInput | None = None, cut: CutInput | None = None, scale: ScaleSteps | None = None,
                expected_loss_pct: Number | None = None, batter_density: Number | None = None,
                overflow_mould: MouldInput | None = None, pot_volume: Number | None = None,
                workings: bool | None = None, own_fats: Sequence[OwnFatInput] | None = None, title: str | None = None,
                maker: str | None = None, notes: Sequence[str] | None = None, batch_number: str | None = None,
                dates: DatesInput | None = None, label: LabelInput | None = None, prices: PricesInput | None = None,
                resolved: bool | None = None, compare_to: ResolvedInput | ResolvedValues | None = None,
                timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Batch:
        """One whole batch: what to weigh, pour and cut, dates, label and cost.

        From a recipe and a mould to everything on the batch sheet. Fats by share are sized to fill the mould to its
        headspace. Fats by mass must fit; if they do not fill the mould, a caution says so. With "resolved": true the
        response has every value the plan rests on; send it as compare_to with a later request to see which of them have
        changed.

        Parameters
        ----------
        recipe : RecipeInput
            By share: the mould gives the size. By mass: it must fit.
        mould : MouldInput
            A mould.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        portions : sequence of PortionInput, optional
            Buckets in pour order, from the bottom; default one portion. 1 to 60 items.
        additions : sequence of AdditionInput, optional
            The batch's own, into the pot. At most 40 items.
        residue : ResidueInput, optional
            What stays behind.
        arrangement : "layers", "columns", "mingled", "separate", optional
            How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but
            no heights), separate (one per cavity).
        fade : BatchFadeInput, optional
            Doses of a colourant for the portions, from your own swatches.
        cut : CutInput, optional
            How the block is cut; for a box mould.
        scale : ScaleSteps, optional
            Steps of the scales.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all
            water of batter and additions is lost. Unit: %. 0 to 60.
        batter_density : Number, optional
            Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10.
        overflow_mould : MouldInput, optional
            Takes what is above the mould's fill limit; for fats by mass.
        pot_volume : Number, optional
            Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
            `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
        workings : bool, optional
            The calculation of the lye line by line, in grams.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; the recipe names them by their keys. At most 200 items.
        title : str, optional
            What you call the soap: for sheet, label draft, calendar and file names; no figure depends on it. At most
            200 characters.
        maker : str, optional
            Who makes it, for the sheet. At most 200 characters.
        notes : sequence of str, optional
            Yours, for the sheet, line by line. At most 12 items; each at most 200 characters.
        batch_number : str, optional
            Yours, for sheet and label. At most 200 characters.
        dates : DatesInput, optional
            By its release or its pour.
        label : LabelInput, optional
            What you want on its label.
        prices : PricesInput, optional
            Prices, packaging, work, losses, and how a bar is to be priced.
        resolved : bool, optional
            Return `resolved`: every value the plan rests on.
        compare_to : ResolvedInput | ResolvedValues, optional
            `resolved` of an earlier plan, to compare this one with.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Batch

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Batch = self._call(
            "batches", "json",
            {"recipe": recipe, "mould": mould, "units": units, "locale": locale, "portions": portions, "additions":
            additions, "residue": residue, "arrangement": arrangement, "fade": fade, "cut": cut, "scale": scale,
            "expected_loss_pct": expected_loss_pct, "batter_density": batter_density, "overflow_mould": overflow_mould,
            "pot_volume": pot_volume, "workings": workings, "own_fats": own_fats, "title": title, "maker": maker,
            "notes": notes, "batch_number": batch_number, "dates": dates, "label": label, "prices": prices, "resolved":
            resolved, "compare_to": compare_to},
            {},
            timeout, headers)
        return found

    @checked
    def actuals(self, *, plan: BatchesRequest, identity: str,
                stage: Literal["fats", "lye_made", "in_pot", "poured", "cut"],
                locale: Literal["en", "de"] | None = None, data_version: str | None = None, mix: Whole | None = None,
                weighed: Sequence[WeighedRowInput] | None = None, rescue_with: str | None = None,
                bars: BarsCutInput | None = None, weighings: Sequence[WeighingInput] | None = None,
                record: RecordInput | None = None, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None) -> Actuals:
        """What was really weighed so far: the batch as it is, and what to do next.

        Send the body of /v1/batches again with the identity from its response, the stage, and the rows you weighed. The
        service plans the batch again with your weighings. You get its superfat with ranges, the differences from the
        plan, what to weigh from here on, and the next action: new alkali while the lye is not made, part of the lye
        once it is, fat to add in the pot, new layers, bars and drying. Never pour a lye-heavy batch. As HTML it is the
        record of the batch, to print and sign; as CSV, the weighings row by row.

        Parameters
        ----------
        plan : BatchesRequest
            The body of /v1/batches, as it was sent.
        identity : str
            Of the plan, as in the response of /v1/batches. At most 200 characters.
        stage : "fats", "lye_made", "in_pot", "poured", "cut"
            How far the batch has come. fats: they are in the pot, no lye is made; lye_made; in_pot: fats, lye and the
            batch's additions; poured: buckets; cut.
        locale : "en", "de", optional
            Language of the texts in the response; numbers in JSON and problems do not change. Default en, whatever the
            plan has.
        data_version : str, optional
            Of the plan, from its meta; used only to report that nothing but the data has changed. At most 200
            characters.
        mix : Whole, optional
            Which mix the rows are from; needed until stage in_pot if the pot takes several mixes. Unit: number, from 1.
            1 to 20.
        weighed : sequence of WeighedRowInput, optional
            Rows as you really weighed them, 0 if you forgot one; rows you do not report count as planned. At most 1000
            items.
        rescue_with : str, optional
            Key or name of the fat to add if one is needed; the first of the recipe if not given. At most 200
            characters.
        bars : BarsCutInput, optional
            At stage cut.
        weighings : sequence of WeighingInput, optional
            Of a bar in cure, at stage cut: three or more give its drying curve. 1 to 200 items.
        record : RecordInput, optional
            What only you know of the batch: for the record (format=html).
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Actuals

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Actuals = self._call(
            "actuals", "json",
            {"plan": plan, "identity": identity, "stage": stage, "locale": locale, "data_version": data_version, "mix":
            mix, "weighed": weighed, "rescue_with": rescue_with, "bars": bars, "weighings": weighings, "record":
            record},
            {},
            timeout, headers)
        return found

    @checked
    def rebatches(self, *, offcuts: Sequence[OffcutsInput], mould: MouldInput, label: LabelInput,
                  units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
                  liquid: MeltingLiquidInput | None = None, additions: Sequence[AdditionInput] | None = None,
                  residue: Number | None = None, melting_loss_pct: Number | None = None,
                  expected_loss_pct: Number | None = None, cut: CutInput | None = None, dates: DatesInput | None = None,
                  scale: ScaleSteps | None = None, timeout: Timeout | None = None,
                  headers: Mapping[str, str] | None = None) -> Rebatches:
        """Offcuts and shavings of known batches, melted down.

        Liquid to add, mould fill, loss, superfat, ingredients and allergens of the mixture. Only soap whose plan you
        have: lye-heavy soap stays dangerous when it is melted.

        Parameters
        ----------
        offcuts : sequence of OffcutsInput
            Batch by batch. 1 to 6 items.
        mould : MouldInput
            A mould.
        label : LabelInput
            The market, and what you want on the label.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        liquid : MeltingLiquidInput, optional
            Default water, in the usual amount.
        additions : sequence of AdditionInput, optional
            Stirred into the melted soap. Doses count its mass as batter and the fats in it as fats. Oil in an addition
            gets no alkali. At most 40 items.
        residue : Number, optional
            Sticks to the pot; default 0. Unit: `units.mass`, g if not set. 0 to 1,000,000 (in the unit where the range
            is widest).
        melting_loss_pct : Number, optional
            Evaporates while it melts; default 1 to 6 (common practice, no source). Unit: % of the pot. 0 to 60.
        expected_loss_pct : Number, optional
            Loss in cure. Unit: % of a bar as cut. 0 to 60.
        cut : CutInput, optional
            How the block is cut; for a box mould.
        dates : DatesInput, optional
            From the day of the release or of the pour.
        scale : ScaleSteps, optional
            Steps of the scales.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Rebatches

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Rebatches = self._call(
            "rebatches", "json",
            {"offcuts": offcuts, "mould": mould, "label": label, "units": units, "locale": locale, "liquid": liquid,
            "additions": additions, "residue": residue, "melting_loss_pct": melting_loss_pct, "expected_loss_pct":
            expected_loss_pct, "cut": cut, "dates": dates, "scale": scale},
            {},
            timeout, headers)
        return found

    @checked
    def labels(self, *, recipe: RecipeInput, mould: MouldInput, label: LabelInput, units: UnitsChoice | None = None,
               locale: Literal["en", "de"] | None = None, portions: Sequence[PortionInput] | None = None,
               additions: Sequence[AdditionInput] | None = None, residue: ResidueInput | None = None,
               arrangement: Literal["layers", "columns", "mingled", "separate"] | None = None,
               fade: BatchFadeInput | None = None, cut: CutInput | None = None, scale: ScaleSteps | None = None,
               expected_loss_pct: Number | None = None, batter_density: Number | None = None,
               overflow_mould: MouldInput | None = None, pot_volume: Number | None = None, workings: bool | None = None,
               own_fats: Sequence[OwnFatInput] | None = None, timeout: Timeout | None = None,
               headers: Mapping[str, str] | None = None) -> Labels:
        """What a label must list, and what it may promise.

        From a whole batch: the ingredient list of every kind of bar in it, the allergens by their part of the cured
        bar, the net quantity that the bars hold on the day of packing, and what else a label needs in the European
        Union, Great Britain or the United States. Information only: local law decides.

        Parameters
        ----------
        recipe : RecipeInput
            By share: the mould gives the size. By mass: it must fit.
        mould : MouldInput
            A mould.
        label : LabelInput
            What you want on the label.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        portions : sequence of PortionInput, optional
            Buckets in pour order, from the bottom; default one portion. 1 to 60 items.
        additions : sequence of AdditionInput, optional
            The batch's own, into the pot. At most 40 items.
        residue : ResidueInput, optional
            What stays behind.
        arrangement : "layers", "columns", "mingled", "separate", optional
            How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but
            no heights), separate (one per cavity).
        fade : BatchFadeInput, optional
            Doses of a colourant for the portions, from your own swatches.
        cut : CutInput, optional
            How the block is cut; for a box mould.
        scale : ScaleSteps, optional
            Steps of the scales.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all
            water of batter and additions is lost. Unit: %. 0 to 60.
        batter_density : Number, optional
            Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10.
        overflow_mould : MouldInput, optional
            Takes what is above the mould's fill limit; for fats by mass.
        pot_volume : Number, optional
            Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
            `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
        workings : bool, optional
            The calculation of the lye line by line, in grams.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; the recipe names them by their keys. At most 200 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Labels

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Labels = self._call(
            "labels", "json",
            {"recipe": recipe, "mould": mould, "label": label, "units": units, "locale": locale, "portions": portions,
            "additions": additions, "residue": residue, "arrangement": arrangement, "fade": fade, "cut": cut, "scale":
            scale, "expected_loss_pct": expected_loss_pct, "batter_density": batter_density, "overflow_mould":
            overflow_mould, "pot_volume": pot_volume, "workings": workings, "own_fats": own_fats},
            {},
            timeout, headers)
        return found

    @checked
    def costs(self, *, prices: PricesInput, units: UnitsChoice | None = None, locale: Literal["en", "de"] | None = None,
              recipe: RecipeInput | None = None, mould: MouldInput | None = None,
              portions: Sequence[PortionInput] | None = None, additions: Sequence[AdditionInput] | None = None,
              residue: ResidueInput | None = None,
              arrangement: Literal["layers", "columns", "mingled", "separate"] | None = None,
              fade: BatchFadeInput | None = None, cut: CutInput | None = None, scale: ScaleSteps | None = None,
              expected_loss_pct: Number | None = None, batter_density: Number | None = None,
              overflow_mould: MouldInput | None = None, pot_volume: Number | None = None, workings: bool | None = None,
              own_fats: Sequence[OwnFatInput] | None = None, rows: Sequence[CostRowInput] | None = None,
              timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Costs:
        """What a batch and a bar cost, and what a bar must sell for.

        A batch as at /v1/batches, or its ingredients as rows, with the prices of the packs you buy, packaging, work,
        overhead and losses. An ingredient without a price is named and never counts as free. Margin (of the net price)
        and markup (on the cost) are separate; tax and shop fees are added so that your margin is left. You must know
        the rates and duties: local law and a bookkeeper decide.

        Parameters
        ----------
        prices : PricesInput
            Prices, packaging, work, losses, and how a bar is to be priced.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        recipe : RecipeInput, optional
            By share: the mould gives the size. By mass: it must fit.
        mould : MouldInput, optional
            A mould.
        portions : sequence of PortionInput, optional
            Buckets in pour order, from the bottom; default one portion. 1 to 60 items.
        additions : sequence of AdditionInput, optional
            The batch's own, into the pot. At most 40 items.
        residue : ResidueInput, optional
            What stays behind.
        arrangement : "layers", "columns", "mingled", "separate", optional
            How the portions lie: flat layers (default), columns between upright dividers, mingled (swirled: masses but
            no heights), separate (one per cavity).
        fade : BatchFadeInput, optional
            Doses of a colourant for the portions, from your own swatches.
        cut : CutInput, optional
            How the block is cut; for a box mould.
        scale : ScaleSteps, optional
            Steps of the scales.
        expected_loss_pct : Number, optional
            Loss in cure, as a share of the mass of the whole bar as cut, measured by weighing bars. By default all
            water of batter and additions is lost. Unit: %. 0 to 60.
        batter_density : Number, optional
            Measured by you; overrides the estimate. Unit: g/mL. 0.05 to 10.
        overflow_mould : MouldInput, optional
            Takes what is above the mould's fill limit; for fats by mass.
        pot_volume : Number, optional
            Volume of your pot to the brim; two thirds of it are used, and a larger batch is made in equal mixes. Unit:
            `units.volume`, mL if not set. More than 0 to 1e+09 (in the unit where the range is widest).
        workings : bool, optional
            The calculation of the lye line by line, in grams.
        own_fats : sequence of OwnFatInput, optional
            Fats of your own; the recipe names them by their keys. At most 200 items.
        rows : sequence of CostRowInput, optional
            In place of recipe and mould: what goes into the batch. 1 to 300 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Costs

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Costs = self._call(
            "costs", "json",
            {"prices": prices, "units": units, "locale": locale, "recipe": recipe, "mould": mould, "portions":
            portions, "additions": additions, "residue": residue, "arrangement": arrangement, "fade": fade, "cut": cut,
            "scale": scale, "expected_loss_pct": expected_loss_pct, "batter_density": batter_density, "overflow_mould":
            overflow_mould, "pot_volume": pot_volume, "workings": workings, "own_fats": own_fats, "rows": rows},
            {},
            timeout, headers)
        return found

    @checked
    def purchases(self, *, packs: Sequence[PackInput], units: UnitsChoice | None = None,
                  locale: Literal["en", "de"] | None = None, needs: Sequence[NeedInput] | None = None,
                  batches: Sequence[BatchNeedInput] | None = None, at_hand: Sequence[AtHandInput] | None = None,
                  suppliers: Sequence[SupplierInput] | None = None, timeout: Timeout | None = None,
                  headers: Mapping[str, str] | None = None) -> Purchases:
        """Which packs to buy for what you need.

        Needs, or weigh lists of batches, less what you have. An integer program finds the packs with the least cost; of
        equal costs those with the least left over, and of these the fewest. It includes the terms of suppliers
        (shipping, free shipping from, minimum order).

        Parameters
        ----------
        packs : sequence of PackInput
            What is sold, in one currency. At most 600 items.
        units : UnitsChoice, optional
            Units that govern the request and the response.
        locale : "en", "de", optional
            Language of sentences and of the sheet; default en.
        needs : sequence of NeedInput, optional
            What is needed. At most 300 items.
        batches : sequence of BatchNeedInput, optional
            What batches need, by their weigh lists; adds to needs. At most 40 items.
        at_hand : sequence of AtHandInput, optional
            What you have; it is used first. At most 300 items.
        suppliers : sequence of SupplierInput, optional
            Terms of suppliers; if you give any, list every supplier that a pack names. At most 8 items.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Purchases

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Purchases = self._call(
            "purchases", "json",
            {"packs": packs, "units": units, "locale": locale, "needs": needs, "batches": batches, "at_hand": at_hand,
            "suppliers": suppliers},
            {},
            timeout, headers)
        return found

    @checked
    def fats(self, *, search: str | None = None, kind: Literal["triglyceride", "wax_ester", "fatty_acid"] | None = None,
             saponification_value_min: Number | None = None, saponification_value_max: Number | None = None,
             iodine_value_min: Number | None = None, iodine_value_max: Number | None = None,
             fatty_acid: str | None = None, fatty_acid_min_pct: Number | None = None,
             fatty_acid_max_pct: Number | None = None, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None) -> Fats:
        """The table of fats.

        Fats, oils, waxes and free acids, with the range of each figure and how it is known.

        Parameters
        ----------
        search : str, optional
            Part of the key, a name, the origin or the label name. At most 200 characters.
        kind : "triglyceride", "wax_ester", "fatty_acid", optional
            Kind of fat.
        saponification_value_min : Number, optional
            Middle of its saponification value at least. Unit: mg KOH per g of fat. 0 to 1,000.
        saponification_value_max : Number, optional
            And at most. Unit: mg KOH per g of fat. 0 to 1,000.
        iodine_value_min : Number, optional
            Middle of its iodine value at least. Unit: g iodine per 100 g. 0 to 1,000.
        iodine_value_max : Number, optional
            And at most. Unit: g iodine per 100 g. 0 to 1,000.
        fatty_acid : str, optional
            Notation of a fatty acid in it. At most 200 characters.
        fatty_acid_min_pct : Number, optional
            Middle of that fatty acid at least. Unit: % of fatty acids. 0 to 100.
        fatty_acid_max_pct : Number, optional
            And at most. Unit: % of fatty acids. 0 to 100.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Fats

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Fats = self._call(
            "fats", "json",
            None,
            {"search": search, "kind": kind, "saponification_value_min": saponification_value_min,
            "saponification_value_max": saponification_value_max, "iodine_value_min": iodine_value_min,
            "iodine_value_max": iodine_value_max, "fatty_acid": fatty_acid, "fatty_acid_min_pct": fatty_acid_min_pct,
            "fatty_acid_max_pct": fatty_acid_max_pct},
            timeout, headers)
        return found

    @checked
    def fat(self, key: str, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> FatEntry:
        """Everything known of a fat.

        Every figure of the table, how it is known, and its source. A standard gives the allowed range, not your lot:
        the certificate of the lot overrides the table.

        Parameters
        ----------
        key : str
            Key of the fat.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        FatEntry

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: FatEntry = self._call(
            "fat", "json",
            None,
            {"key": key},
            timeout, headers)
        return found

    @checked
    def cautions(self, *, locale: Literal["en", "de"] | None = None, timeout: Timeout | None = None,
                 headers: Mapping[str, str] | None = None) -> Cautions:
        """The cautions.

        Every caution with its stable key, its text and its source. They do not replace the safety data sheets of your
        materials, nor local law.

        Parameters
        ----------
        locale : "en", "de", optional
            Language of the texts; default en.
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Cautions

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Cautions = self._call(
            "cautions", "json",
            None,
            {"locale": locale},
            timeout, headers)
        return found

    @checked
    def sources(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Sources:
        """The sources.

        Title of every key in `meta.sources` of a response, and how the source is known: read, read in a text about it,
        from memory, computed or decided here.

        Parameters
        ----------
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Sources

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Sources = self._call(
            "sources", "json",
            None,
            {},
            timeout, headers)
        return found

    @checked
    def healthz(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> State:
        """Whether the service is alive.

        For the probe that restarts a process that hangs: it computes nothing.

        Parameters
        ----------
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        State

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: State = self._call(
            "healthz", "json",
            None,
            {},
            timeout, headers)
        return found

    @checked
    def readyz(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> State:
        """Whether tables are loaded and a known calculation agrees.

        For the probe that sends requests to an instance only while it is ready.

        Parameters
        ----------
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        State

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: State = self._call(
            "readyz", "json",
            None,
            {},
            timeout, headers)
        return found

    @checked
    def version(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None) -> Version:
        """Versions of service and data.

        The data version changes with every figure of the tables.

        Parameters
        ----------
        timeout, headers : optional
            For this call, as in `Client`.

        Returns
        -------
        Version

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        found: Version = self._call(
            "version", "json",
            None,
            {},
            timeout, headers)
        return found

    @overload
    def form(self, operation: Literal["lye"], word: Literal["json", "html", "csv", "text"], body: LyeRequest | bytes, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["scaling"], word: Literal["json", "html", "csv", "text"],
             body: ScalingRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["moulds"], word: Literal["json", "svg", "html", "csv", "text"],
             body: MouldsRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["portions"], word: Literal["json", "svg", "html", "csv", "text"],
             body: PortionsRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["fades"], word: Literal["json", "svg", "csv", "text"], body: FadesRequest | bytes,
             *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["cuts"], word: Literal["json", "svg", "html", "csv", "text"],
             body: CutsRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["cure"], word: Literal["json", "svg", "ics", "html", "csv", "text"],
             body: CureRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["schedules"], word: Literal["json", "ics", "csv", "text"],
             body: SchedulesRequest | bytes, *, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["blends"], word: Literal["json", "csv", "text"], body: BlendsRequest | bytes, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["batches"], word: Literal["json", "html", "svg", "ics", "csv", "text"],
             body: BatchesRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["actuals"], word: Literal["json", "html", "csv", "text"],
             body: ActualsRequest | bytes, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
             **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["rebatches"], word: Literal["json", "html", "csv", "text"],
             body: RebatchesRequest | bytes, *, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["labels"], word: Literal["json", "csv", "text"], body: LabelsRequest | bytes, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["costs"], word: Literal["json", "csv", "text"], body: CostsRequest | bytes, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["purchases"], word: Literal["json", "csv", "text"],
             body: PurchasesRequest | bytes, *, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["fats"], word: Literal["json", "csv", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["fat"], word: Literal["json", "csv", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["cautions"], word: Literal["json", "csv", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["sources"], word: Literal["json", "csv", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["healthz"], word: Literal["json", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["readyz"], word: Literal["json", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...
    @overload
    def form(self, operation: Literal["version"], word: Literal["json", "text"], body: None = None, *,
             timeout: Timeout | None = None, headers: Mapping[str, str] | None = None, **address: str) -> Text: ...

    def form(self, operation: str, word: str, body: Any = None, *, timeout: Timeout | None = None,
             headers: Mapping[str, str] | None = None, **address: str) -> Text:
        """The reply of an operation in another form, as text.

        Parameters
        ----------
        operation : str
            Such as "cuts".
        word : str
            Name of the form: json, svg, html, ics, csv or text.
        body : dict or bytes, optional
            Arguments of that method. Bytes of JSON are sent unchanged.
        timeout, headers : optional
            For this call, as in `Client`.
        **address : str
            Further query parameters, such as table or field; for "fat" its `key`.

        Returns
        -------
        Text : a complete reply. Lines may end in CR LF: write it with newline="".

        Raises
        ------
        as `lye` does
        """
        return as_text(self._call(operation, word, body, address, timeout, headers))

    @overload
    def picture(self, operation: Literal["moulds"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[MouldsRequest]) -> Text: ...
    @overload
    def picture(self, operation: Literal["portions"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[PortionsRequest]) -> Text: ...
    @overload
    def picture(self, operation: Literal["fades"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[FadesRequest]) -> Text: ...
    @overload
    def picture(self, operation: Literal["cuts"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[CutsRequest]) -> Text: ...
    @overload
    def picture(self, operation: Literal["cure"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[CureRequest]) -> Text: ...
    @overload
    def picture(self, operation: Literal["batches"], *, timeout: Timeout | None = None,
                headers: Mapping[str, str] | None = None, **body: Unpack[BatchesRequest]) -> Text: ...

    def picture(self, operation: str, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
                **body: Any) -> Text:
        """The picture of a reply as SVG, with the arguments of the operation's own method. Raises as `lye` does."""
        found: Text = self._call(operation, "svg", body, {}, timeout, headers)
        return found

    @overload
    def calendar(self, operation: Literal["cure"], *, timeout: Timeout | None = None,
                 headers: Mapping[str, str] | None = None, **body: Unpack[CureRequest]) -> Text: ...
    @overload
    def calendar(self, operation: Literal["schedules"], *, timeout: Timeout | None = None,
                 headers: Mapping[str, str] | None = None, **body: Unpack[SchedulesRequest]) -> Text: ...
    @overload
    def calendar(self, operation: Literal["batches"], *, timeout: Timeout | None = None,
                 headers: Mapping[str, str] | None = None, **body: Unpack[BatchesRequest]) -> Text: ...

    def calendar(self, operation: str, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
                 **body: Any) -> Text:
        """The calendar of a reply (iCalendar), with the arguments of the operation's own method.

        Write it to a file in UTF-8 and with newline="", because RFC 5545 prescribes its line ends. Raises as `lye`
        does.
        """
        found: Text = self._call(operation, "ics", body, {}, timeout, headers)
        return found

    def batch_sheet(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
                    **body: Unpack[BatchesRequest]) -> Text:
        """The batch sheet as HTML, with the arguments of `batches`. Raises as `lye` does."""
        found: Text = self._call("batches", "html", body, {}, timeout, headers)
        return found

    def cut_face(self, *, timeout: Timeout | None = None, headers: Mapping[str, str] | None = None,
                 **body: Unpack[BatchesRequest]) -> Text:
        """The cut face as SVG, with the arguments of `batches`. Raises as `lye` does."""
        found: Text = self._call("batches", "svg", body, {}, timeout, headers)
        return found
