"""Where a database is, in words that hold no password."""

from sqlalchemy.engine import URL, make_url


def place_of(url: str | URL) -> str:
    """Return where a database is, without user, password and options."""
    parts = make_url(url)
    if parts.get_backend_name() == "sqlite":
        return str(parts.database)
    host = parts.host or parts.query.get("host", "this machine")
    return f"database {parts.database} on {host}"
