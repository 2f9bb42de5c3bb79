"""Solves a Network in a position: nodal equations, the laws of the devices, their states, their fuses."""
