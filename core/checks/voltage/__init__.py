"""Rules about voltage."""
