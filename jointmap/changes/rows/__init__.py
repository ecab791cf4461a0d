"""From a row as sent to a record: found, resolved, checked."""
