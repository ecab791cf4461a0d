"""Pages, sheets and dossiers as text, filled from plain views."""
