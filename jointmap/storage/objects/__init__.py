"""Tables, columns, indexes and triggers, held against what is made."""
