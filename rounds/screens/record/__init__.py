"""What a keeper records on a screen: a few keys at the rack, the menu of entries, corrections."""
