"""Operations and media types. Written by `make contract` from openapi.yaml; do not edit."""

__all__ = ["MEDIA_TYPES", "ROWS"]

MEDIA_TYPES = {
    "json": "application/json",
    "html": "text/html",
    "csv": "text/csv",
    "text": "text/plain",
    "svg": "image/svg+xml",
    "ics": "text/calendar",
}
"""Of each form of a reply. [words]"""

ROWS: dict[str, tuple[str, str, str, str, tuple[str, ...], tuple[str, ...]]] = {
    "lye": ("POST", "/v1/lye", "what to weigh for a recipe", "Lye", ("html",), ()),
    "scaling": ("POST", "/v1/scaling", "a recipe at another size", "Scaled", ("html",), ()),
    "moulds": ("POST", "/v1/moulds", "what a mould holds", "Mould", ("svg", "html"), ()),
    "portions": ("POST", "/v1/portions", "what goes into each bucket", "Portions", ("svg", "html"), ()),
    "fades": ("POST", "/v1/fades", "doses so that a colour fades in even steps", "Fade", ("svg",), ()),
    "cuts": ("POST", "/v1/cuts", "a block cut into loaves and bars", "Cuts", ("svg", "html"), ()),
    "cure": (
        "POST",
        "/v1/cure",
        "dates of one batch, its drying curve, and the mass of a bar on a day",
        "Cure",
        ("svg", "ics", "html"),
        (),
    ),
    "schedules": (
        "POST",
        "/v1/schedules",
        "a calendar of several batches before their releases",
        "Schedule",
        ("ics",),
        (),
    ),
    "blends": ("POST", "/v1/blends", "shares of the fats at hand, within your limits", "Blend", (), ()),
    "batches": (
        "POST",
        "/v1/batches",
        "one whole batch: what to weigh, pour and cut, dates, label and cost",
        "Batch",
        ("html", "svg", "ics"),
        (),
    ),
    "actuals": (
        "POST",
        "/v1/batches/actuals",
        "what was really weighed so far: the batch as it is, and what to do next",
        "Actuals",
        ("html",),
        (),
    ),
    "rebatches": (
        "POST",
        "/v1/rebatches",
        "offcuts and shavings of known batches, melted down",
        "Rebatches",
        ("html",),
        (),
    ),
    "labels": ("POST", "/v1/labels", "what a label must list, and what it may promise", "Labels", (), ()),
    "costs": ("POST", "/v1/costs", "what a batch and a bar cost, and what a bar must sell for", "Costs", (), ()),
    "purchases": ("POST", "/v1/purchases", "which packs to buy for what you need", "Purchases", (), ()),
    "fats": (
        "GET",
        "/v1/fats",
        "the table of fats",
        "Fats",
        (),
        ("search",
            "kind",
            "saponification_value_min",
            "saponification_value_max",
            "iodine_value_min",
            "iodine_value_max",
            "fatty_acid",
            "fatty_acid_min_pct",
            "fatty_acid_max_pct"),
    ),
    "fat": ("GET", "/v1/fats/{key}", "everything known of a fat", "FatEntry", (), ("key",)),
    "cautions": ("GET", "/v1/cautions", "the cautions", "Cautions", (), ("locale",)),
    "sources": ("GET", "/v1/sources", "the sources", "Sources", (), ()),
    "healthz": ("GET", "/healthz", "whether the service is alive", "State", (), ()),
    "readyz": ("GET", "/readyz", "whether tables are loaded and a known calculation agrees", "State", (), ()),
    "version": ("GET", "/version", "versions of service and data", "Version", (), ()),
}
"""Method, path, summary, class of the result, forms and parameters. [words]"""
