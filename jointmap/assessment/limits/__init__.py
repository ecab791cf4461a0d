"""The limits of what may be due: as they ran, by law, put off."""
