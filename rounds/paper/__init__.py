"""What leaves the room: hand-over, referral sheet, tables. Pure text."""
