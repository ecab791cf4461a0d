"""A part of a state: which rows one answer hangs on."""
