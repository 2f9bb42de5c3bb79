"""Rules about signals."""
