"""All sentences of all families, one dictionary."""

from jointmap.wording import (
    acceptance,
    cautions,
    due,
    exchange,
    labels,
    location,
    record,
    routes,
)

SENTENCES: dict[str, str] = {
    **record.SENTENCES,
    **exchange.SENTENCES,
    **acceptance.SENTENCES,
    **location.SENTENCES,
    **due.SENTENCES,
    **routes.SENTENCES,
    **cautions.SENTENCES,
    **labels.SENTENCES,
}
