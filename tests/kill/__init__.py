"""The program is killed at random moments, and its work is looked for afterwards."""
