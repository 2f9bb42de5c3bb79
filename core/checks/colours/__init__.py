"""Rules about colours."""
