"""How each subject stands, worked out from the entries. Pure: no clock, no disk."""
