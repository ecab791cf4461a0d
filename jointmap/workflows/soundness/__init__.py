"""Jobs that keep a register sound: verify, prove, back up, restore, upgrade."""
