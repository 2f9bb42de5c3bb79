"""Rules about what protects conductors, contacts and outputs."""
