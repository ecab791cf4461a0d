"""The dossier of a joint."""
