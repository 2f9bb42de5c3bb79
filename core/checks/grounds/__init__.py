"""Rules about grounds."""
