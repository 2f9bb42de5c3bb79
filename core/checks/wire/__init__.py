"""Rules about wires: what they carry and lose, and how they are joined."""
