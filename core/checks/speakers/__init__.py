"""Rules about speakers."""
