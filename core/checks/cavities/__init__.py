"""Rules about cavities."""
