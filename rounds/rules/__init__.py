"""What the house runs by: intervals and limits, each with unit, grade and source."""
