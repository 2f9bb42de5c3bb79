"""Rules about feeds."""
