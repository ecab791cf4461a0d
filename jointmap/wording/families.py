"""All sentences of all families, one dictionary."""

from jointmap.wording import (
    acceptance,
    calculations,
    cautions,
    due,
    exchange,
    findings,
    fitting,
    labels,
    location,
    map_page,
    record,
    risk,
    routes,
    storage,
    verifying,
    worksheet,
)

SENTENCES: dict[str, str] = {
    **record.SENTENCES,
    **storage.SENTENCES,
    **verifying.SENTENCES,
    **exchange.SENTENCES,
    **acceptance.SENTENCES,
    **calculations.SENTENCES,
    **findings.SENTENCES,
    **fitting.SENTENCES,
    **location.SENTENCES,
    **due.SENTENCES,
    **risk.SENTENCES,
    **routes.SENTENCES,
    **cautions.SENTENCES,
    **labels.SENTENCES,
    **map_page.SENTENCES,
    **worksheet.SENTENCES,
}
